//! `classwright completions` and `classwright man`: both made from the same description that reads the arguments.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use classwright_app::AppError;

use crate::Cli;
use crate::error::CliError;
use crate::whole::write_whole;

const NAME: &str = "classwright";

/// Print what a shell needs to complete the command.
#[derive(clap::Args)]
pub(crate) struct CompletionsArgs {
    /// The shell. Bash: classwright completions bash > ~/.local/share/bash-completion/completions/classwright
    #[arg(value_enum)]
    shell: Shell,
}

/// Print the manual page, or write one for every command.
#[derive(clap::Args)]
pub(crate) struct ManArgs {
    /// Write a page for every command into this folder, such as ~/.local/share/man/man1.
    dir: Option<PathBuf>,
}

/// The script for a shell.
pub(crate) fn completions(args: &CompletionsArgs) -> Result<String, CliError> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), NAME, &mut script);
    String::from_utf8(script).map_err(|error| CliError::bug(&error))
}

/// The page, or what was written.
pub(crate) fn man(args: &ManArgs) -> Result<String, CliError> {
    let mut command = Cli::command();
    command.build();
    let Some(dir) = &args.dir else { return page(&command) };
    std::fs::create_dir_all(dir).map_err(|error| AppError::File { path: dir.clone(), problem: error.to_string() })?;
    let mut written = 0;
    write_pages(&command, dir, &mut written)?;
    Ok(format!("{}: {written} pages written; read them with `man -M` or `man -l`\n", dir.display()))
}

fn write_pages(command: &Command, dir: &Path, written: &mut u32) -> Result<(), CliError> {
    let name = command.get_display_name().unwrap_or(NAME);
    write_whole(&dir.join(format!("{name}.1")), &page(command)?)?;
    *written += 1;
    let own = command.get_subcommands().filter(|sub| sub.get_name() != "help");
    own.into_iter().try_for_each(|sub| write_pages(sub, dir, written))
}

fn page(command: &Command) -> Result<String, CliError> {
    let mut text = Vec::new();
    // Its source is the version alone: a date would make another page of the same program.
    let source = concat!("classwright ", env!("CARGO_PKG_VERSION"));
    Man::new(command.clone())
        .source(source)
        .render(&mut text)
        .and_then(|()| text.flush())
        .map_err(|error| CliError::bug(&error))?;
    String::from_utf8(text).map_err(|error| CliError::bug(&error))
}
