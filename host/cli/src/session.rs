//! `classwright session check` and `classwright session format`.

use std::path::{Path, PathBuf};

use classwright_app::{AppError, read_session, session_text};
use classwright_training::MovementLibrary;

use crate::error::CliError;
use crate::whole::write_whole;

/// Check a session file, or rewrite it to the canonical form.
#[derive(clap::Subcommand)]
pub(crate) enum SessionCommand {
    /// Say what is wrong with a session file, all of it, with a caret under each place.
    Check {
        /// The session file.
        file: PathBuf,
        /// The gym whose movements and kit are known; the built-in library where it is left out.
        #[arg(long)]
        gym: Option<PathBuf>,
    },
    /// Rewrite a session file to the canonical form.
    Format {
        /// The session file.
        file: PathBuf,
        /// The gym whose movements and kit are known; the built-in library where it is left out.
        #[arg(long)]
        gym: Option<PathBuf>,
        /// Print it and leave the file as it is.
        #[arg(long)]
        print: bool,
    },
}

/// Runs the command and gives what to print.
pub(crate) fn run(command: &SessionCommand) -> Result<String, CliError> {
    match command {
        SessionCommand::Check { file, gym } => {
            let session = read_session(file, &library(gym.as_deref())?)?.session;
            let items = session.items().count();
            Ok(format!("{}: {} parts, {items} items, nothing to mend\n", file.display(), session.parts.len()))
        }
        SessionCommand::Format { file, gym, print } => {
            let text = session_text(file, &library(gym.as_deref())?)?;
            if *print {
                return Ok(text);
            }
            write_whole(file, &text)?;
            Ok(format!("{}: written in the canonical form\n", file.display()))
        }
    }
}

fn library(gym: Option<&Path>) -> Result<MovementLibrary, CliError> {
    match gym {
        None => Ok(classwright_store::library()),
        Some(folder) => Ok(classwright_store::open(folder).map_err(AppError::Gym)?.library),
    }
}
