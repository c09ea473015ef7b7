//! Reading a session file, and writing it back in canonical form.

use std::path::Path;

use classwright_training::notation::{self, MAX_BYTES};
use classwright_training::{MovementLibrary, Session};

use crate::AppError;

/// A session with the text it was read from.
#[derive(Debug)]
pub struct ReadSession {
    /// What it means.
    pub session: Session,
    /// What stands in the file.
    pub text: String,
}

/// Reads a session file. All its errors come at once.
pub fn read_session(path: &Path, library: &MovementLibrary) -> Result<ReadSession, AppError> {
    let bytes = read_at_most(path, MAX_BYTES as u64 + 1)?;
    match notation::parse_bytes(&bytes, library) {
        Ok(session) => Ok(ReadSession { session, text: String::from_utf8_lossy(&bytes).into_owned() }),
        Err(errors) => {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            Err(AppError::Session { path: path.into(), text, errors })
        }
    }
}

/// The canonical form of a session file.
pub fn session_text(path: &Path, library: &MovementLibrary) -> Result<String, AppError> {
    Ok(notation::write(&read_session(path, library)?.session, library))
}

/// No more of a file than tells that it is too long.
fn read_at_most(path: &Path, most: u64) -> Result<Vec<u8>, AppError> {
    use std::io::Read;
    let failed = |error: std::io::Error| AppError::File { path: path.into(), problem: error.to_string() };
    let mut bytes = Vec::new();
    std::fs::File::open(path).map_err(failed)?.take(most).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}
