//! `classwright session`: session files checked and written anew, and sessions in the gym's data ([`kept`]).

mod kept;

use std::path::{Path, PathBuf};

use classwright_app::{AppError, read_session, session_text};
use classwright_training::MovementLibrary;

use crate::Output;
use crate::client::{Connect, Served};
use crate::error::CliError;
use crate::whole::write_whole;

/// Session files, and sessions that the gym keeps.
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
    /// Keep a session in the gym's data; one that is kept already gets another text.
    Keep(Served<kept::Keep>),
    /// Sessions that the gym keeps.
    Kept(Connect),
    /// The text of a session that the gym keeps, as it is now or was.
    Text(Served<kept::Text>),
    /// Every text that a session has or had.
    Revisions(Served<kept::One>),
    /// Remove a session that no class has.
    Remove(Served<kept::One>),
}

/// Runs the command and gives what to print.
pub(crate) fn run(command: &SessionCommand) -> Result<Output, CliError> {
    match command {
        SessionCommand::Keep(args) => kept::keep(args),
        SessionCommand::Kept(connect) => kept::kept(connect),
        SessionCommand::Text(args) => kept::text(args),
        SessionCommand::Revisions(args) => kept::revisions(args),
        SessionCommand::Remove(args) => kept::remove(args),
        SessionCommand::Check { file, gym } => {
            let session = read_session(file, &library(gym.as_deref())?)?.session;
            let items = session.items().count();
            let parts = session.parts.len();
            Ok(format!("{}: {parts} parts, {items} items, nothing to mend\n", file.display()).into())
        }
        SessionCommand::Format { file, gym, print } => {
            let text = session_text(file, &library(gym.as_deref())?)?;
            if *print {
                return Ok(text.into());
            }
            write_whole(file, &text)?;
            Ok(format!("{}: written in the canonical form\n", file.display()).into())
        }
    }
}

fn library(gym: Option<&Path>) -> Result<MovementLibrary, CliError> {
    match gym {
        None => Ok(classwright_store::library()),
        Some(folder) => Ok(classwright_store::open(folder).map_err(AppError::Gym)?.library),
    }
}
