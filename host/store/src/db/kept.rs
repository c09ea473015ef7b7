//! What the files of editable tables share: a row with its revision and its place in the list.

use serde::de::DeserializeOwned;
use sqlx::AnyConnection;

use super::DbError;

/// Something that can be edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept<T> {
    /// Counts its changes, from 1.
    pub revision: i64,
    /// Its place in the list: what to go on after.
    pub place: String,
    /// The thing itself.
    pub value: T,
}

impl<T> Kept<T> {
    pub(crate) fn map<U>(self, with: impl FnOnce(T) -> U) -> Kept<U> {
        Kept { revision: self.revision, place: self.place, value: with(self.value) }
    }
}

/// An error unless the row is at the revision that an editor saw; `None` takes whatever stands.
pub(crate) fn hold(what: &'static str, id: &str, expected: Option<i64>, now: i64) -> Result<(), DbError> {
    match expected {
        Some(expected) if expected != now => Err(DbError::Stale { what, id: id.to_owned(), now }),
        _ => Ok(()),
    }
}

/// Where a list that is ordered by number and id goes on: before everything for an empty text.
pub(crate) fn after(place: &str) -> Result<(i64, &str), DbError> {
    if place.is_empty() {
        return Ok((i64::MIN, ""));
    }
    let read = place.split_once('.').and_then(|(number, id)| Some((number.parse().ok()?, id)));
    read.ok_or_else(|| DbError::Missing { what: "place in the list", id: place.to_owned() })
}

/// The place of a row for [`after`].
pub(crate) fn place(number: i64, id: &str) -> String {
    format!("{number}.{id}")
}

/// What stands in a column as JSON.
pub(crate) fn json<T: DeserializeOwned>(what: &str, id: &str, text: &str) -> Result<T, DbError> {
    serde_json::from_str(text).map_err(|error| DbError::Damaged(format!("{what} `{id}`: {error}")))
}

/// What is to stand in a column as JSON.
pub(crate) fn text<T: serde::Serialize>(value: &T) -> Result<String, DbError> {
    serde_json::to_string(value).map_err(|error| DbError::Damaged(format!("cannot be written as JSON: {error}")))
}

/// A number that is small where this host wrote it.
pub(crate) fn small(number: i64) -> Result<u32, DbError> {
    u32::try_from(number).map_err(|_| DbError::Damaged(format!("{number} stands where a small number should")))
}

/// Up to three of the ids that a statement finds with the gym and an id, and how many more, in words.
pub(crate) async fn found_in(
    conn: &mut AnyConnection,
    statement: &'static str,
    gym: &str,
    id: &str,
) -> Result<Option<String>, DbError> {
    let found: Vec<String> =
        sqlx::query_scalar::<sqlx::Any, String>(statement).bind(gym).bind(id).fetch_all(conn).await?;
    Ok(some_of(&found))
}

/// Up to three of a list, and how many more, in words; `None` where it is empty.
pub fn some_of(ids: &[String]) -> Option<String> {
    let (last, first) = ids[..ids.len().min(3)].split_last()?;
    Some(match (first.is_empty(), ids.len().saturating_sub(3)) {
        (true, _) => last.clone(),
        (false, 0) => format!("{} and {last}", first.join(", ")),
        (false, more) => format!("{}, {last} and {more} more", first.join(", ")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_read_as_it_was_written_and_rubbish_is_refused() {
        assert_eq!(after(&place(12, "ama.b")).ok(), Some((12, "ama.b")));
        assert_eq!(after("").ok(), Some((i64::MIN, "")));
        for rubbish in ["ama", "x.ama", "9999999999999999999.ama"] {
            assert!(matches!(after(rubbish), Err(DbError::Missing { .. })), "{rubbish}");
        }
    }

    #[test]
    fn many_ids_are_counted() {
        let ids: Vec<String> = ["a", "b", "c", "d", "e"].map(str::to_owned).into();
        assert_eq!(some_of(&ids[..0]), None);
        assert_eq!(some_of(&ids[..1]).as_deref(), Some("a"));
        assert_eq!(some_of(&ids[..3]).as_deref(), Some("a, b and c"));
        assert_eq!(some_of(&ids).as_deref(), Some("a, b, c and 2 more"));
    }
}
