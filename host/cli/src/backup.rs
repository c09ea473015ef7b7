//! `classwright backup`, `restore` and `verify`: all data of one moment in a file, and back.

use std::path::{Path, PathBuf};

use classwright_app::{AppError, Place};
use classwright_store::db::{backup, verify};
use serde_json::json;

use crate::Output;
use crate::client::{Call, Client, Connect, Method, data, runtime};
use crate::error::CliError;

/// Back all data up.
#[derive(clap::Args)]
pub(crate) struct BackupArgs {
    /// The file to write; one that is there is not replaced.
    file: PathBuf,
    #[command(flatten)]
    connect: Connect,
}

/// Restore a backup.
#[derive(clap::Args)]
pub(crate) struct RestoreArgs {
    /// The backup.
    file: PathBuf,
    /// Restore it even where what was backed up did not fit together.
    #[arg(long)]
    anyway: bool,
    #[command(flatten)]
    connect: Connect,
}

/// Look whether data or a backup is whole.
#[derive(clap::Args)]
pub(crate) struct VerifyArgs {
    /// A backup; the data itself where it is left out.
    file: Option<PathBuf>,
    #[command(flatten)]
    connect: Connect,
}

/// Writes a backup, while others go on working: of all data in hand, or by a host on which the gym is alone.
pub(crate) fn backup(args: &BackupArgs) -> Result<Output, CliError> {
    let BackupArgs { file, connect } = args;
    match connect.at_a_host() {
        true => fetch(&connect.client()?, file)?,
        false => {
            let runtime = runtime()?;
            let db = runtime.block_on(data(&connect.place_for("a backup")?))?;
            let written = runtime.block_on(backup::backup(&db, file));
            runtime.block_on(db.close());
            written.map_err(AppError::from)?;
        }
    }
    Output::told(connect.json, &json!({ "written": file }), || format!("{}: written\n", file.display()))
}

/// Takes a backup from a host into a new file: all of it or nothing.
fn fetch(client: &Client, file: &Path) -> Result<(), CliError> {
    let failed = |problem: String| CliError::from(AppError::File { path: file.into(), problem });
    if file.exists() {
        return Err(failed("is there already; choose another name".into()));
    }
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut new = tempfile::NamedTempFile::new_in(folder).map_err(|error| failed(error.to_string()))?;
    let mut stream = client.stream(&Call::new(Method::Get, client.gym(&["backup"])?))?;
    std::io::copy(&mut stream, &mut new).map_err(|error| failed(error.to_string()))?;
    new.as_file().sync_all().map_err(|error| failed(error.to_string()))?;
    new.persist_noclobber(file).map(|_| ()).map_err(|error| failed(error.error.to_string()))
}

/// Restores a backup into a place without gyms.
pub(crate) fn restore(args: &RestoreArgs) -> Result<Output, CliError> {
    let place = args.connect.place_for("restoring")?;
    let runtime = runtime()?;
    let db = runtime.block_on(backup::restore(&args.file, &place, args.anyway)).map_err(AppError::from)?;
    runtime.block_on(db.close());
    let shown = place.shown();
    Output::told(args.connect.json, &json!({ "restored": shown }), || format!("{shown}: restored\n"))
}

/// Says everything that is not as it was written.
pub(crate) fn verify(args: &VerifyArgs) -> Result<Output, CliError> {
    let runtime = runtime()?;
    let (what, found) = match &args.file {
        Some(file) => (file.display().to_string(), runtime.block_on(verify::file(file))),
        None => {
            let place: Place = args.connect.place_for("looking through data")?;
            let db = runtime.block_on(data(&place))?;
            let found = runtime.block_on(verify::data(&db));
            runtime.block_on(db.close());
            (place.shown(), found)
        }
    };
    let problems: Vec<String> = found.map_err(AppError::from)?.into_iter().map(|problem| problem.what).collect();
    let mut output = Output::told(args.connect.json, &json!({ "problems": problems }), || match problems.as_slice() {
        [] => format!("{what}: whole\n"),
        found => found.iter().map(|problem| format!("{what}: {problem}\n")).collect(),
    })?;
    output.after = (!problems.is_empty())
        .then(|| CliError::new(format!("error: {what} is not as it was written: restore a backup that is"), 3));
    Ok(output)
}
