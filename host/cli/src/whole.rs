//! Files that are written whole or not at all.

use std::io::{Error, ErrorKind, Write};
use std::path::Path;

use classwright_app::AppError;

use crate::error::CliError;

/// Puts a text in a file's place: all of it, or nothing. A file that was there keeps its permissions; a link stays one.
pub(crate) fn write_whole(file: &Path, text: &str) -> Result<(), CliError> {
    replace(file, text).map_err(|error| AppError::File { path: file.into(), problem: error.to_string() }.into())
}

fn replace(file: &Path, text: &str) -> Result<(), Error> {
    let before = match std::fs::metadata(file) {
        Ok(before) if !before.is_file() => return Err(Error::new(ErrorKind::InvalidInput, "this is not a file")),
        Ok(before) => Some((before.permissions(), std::fs::canonicalize(file)?)),
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    let file = before.as_ref().map_or(file, |(_, file)| file);
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut new = builder().tempfile_in(folder).map_err(|error| {
        // The name of the file that was to be made here for the time being tells nobody anything.
        let problem = match error.kind() {
            ErrorKind::NotFound => format!("there is no folder {}", folder.display()),
            kind => format!("nothing can be written into the folder {} ({kind})", folder.display()),
        };
        Error::new(error.kind(), problem)
    })?;
    new.write_all(text.as_bytes())?;
    if let Some((permissions, _)) = &before {
        new.as_file().set_permissions(permissions.clone())?;
    }
    new.persist(file).map(|_| ()).map_err(|error| error.error)
}

/// A new file is open to whom the user's files are.
fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder
}
