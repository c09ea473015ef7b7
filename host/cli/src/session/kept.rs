//! `classwright session keep`, `kept`, `text`, `revisions` and `remove`: sessions in the gym's data, with every text they
//! ever had.

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::client::{Connect, Served};
use crate::error::CliError;
use crate::show::{column, moments, table};
use crate::{Output, input};

/// Keep a session.
#[derive(clap::Args)]
pub(crate) struct Keep {
    /// The session file.
    file: PathBuf,
    /// Its id; the file's name without its ending where it is left out.
    #[arg(long = "as", value_name = "ID")]
    id: Option<String>,
}

/// A text.
#[derive(clap::Args)]
pub(crate) struct Text {
    /// The session's id.
    id: String,
    /// An earlier text, by its number.
    #[arg(long, value_name = "N")]
    revision: Option<i64>,
}

/// One session.
#[derive(clap::Args)]
pub(crate) struct One {
    /// The session's id.
    id: String,
}

/// Keeps the text of a file.
pub(crate) fn keep(Served { args: Keep { file, id }, connect }: &Served<Keep>) -> Result<Output, CliError> {
    let (id, text) = (input::id_of(file, id.as_deref())?, input::text(file)?);
    let client = connect.client()?;
    let path = client.gym(&["sessions", &id])?;
    let answer = match client.find(path.clone())? {
        Some(stands) => client.put(path, json!({ "text": text }), stands.revision()?)?,
        None => client.create(client.gym(&["sessions"])?, json!({ "id": id, "text": text }))?,
    };
    let kept = answer.json()?;
    Output::answered(connect.json, &answer, || format!("{id}: kept as revision {}\n", kept["revision"]))
}

/// Sessions that are kept.
pub(crate) fn kept(connect: &Connect) -> Result<Output, CliError> {
    let client = connect.client()?;
    let list = client.list(client.gym(&["sessions"])?)?;
    let columns = [column("id", "/value/id"), column("revision", "/revision"), column("title", "/value/title")];
    Output::told(connect.json, &list, || table(&list, &columns))
}

/// The text of a session, now or earlier.
pub(crate) fn text(Served { args: Text { id, revision }, connect }: &Served<Text>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let path = match revision {
        Some(revision) => client.gym(&["sessions", id, "revisions", &revision.to_string()])?,
        None => client.gym(&["sessions", id])?,
    };
    let answer = client.get(path)?;
    let session = answer.json()?;
    Output::answered(connect.json, &answer, || session["value"]["text"].as_str().unwrap_or_default().to_owned())
}

/// All texts that a session has or had.
pub(crate) fn revisions(Served { args: One { id }, connect }: &Served<One>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let list = client.list(client.gym(&["sessions", id, "revisions"])?)?;
    let columns = [column("revision", "/revision"), moments("written", "/written-at"), column("by", "/written-by")];
    Output::told(connect.json, &list, || table(&list, &columns))
}

/// Removes a session that no class has.
pub(crate) fn remove(Served { args: One { id }, connect }: &Served<One>) -> Result<Output, CliError> {
    let client = connect.client()?;
    client.remove(client.gym(&["sessions", id])?)?;
    Output::told(connect.json, &Value::Null, || format!("{id}: removed\n"))
}
