//! The service's documents for people: lists as columns, a thing as its fields.

use serde_json::Value;

/// A column: its heading, where in an item its value stands (a JSON pointer), and how it is told.
pub(crate) struct Column {
    heading: &'static str,
    at: &'static str,
    how: fn(&Value) -> String,
}

/// A column of values.
pub(crate) const fn column(heading: &'static str, at: &'static str) -> Column {
    Column { heading, at, how: words }
}

/// A column of moments.
pub(crate) const fn moments(heading: &'static str, at: &'static str) -> Column {
    Column { heading, at, how: moment }
}

/// The items of a list as columns, with their headings; `none` where there is nothing.
pub(crate) fn table(list: &Value, columns: &[Column]) -> String {
    let items = list["items"].as_array().or_else(|| list.as_array()).map_or(&[][..], Vec::as_slice);
    if items.is_empty() {
        return "none\n".into();
    }
    let mut rows = vec![columns.iter().map(|column| column.heading.to_owned()).collect::<Vec<_>>()];
    let cell = |item: &Value, column: &Column| (column.how)(item.pointer(column.at).unwrap_or(&Value::Null));
    rows.extend(items.iter().map(|item| columns.iter().map(|column| cell(item, column)).collect()));
    aligned(&rows)
}

/// The fields of a thing, one a line: what it is called, then the others by name.
pub(crate) fn fields(thing: &Value) -> String {
    let Some(fields) = thing.as_object() else { return words(thing) + "\n" };
    let (first, others): (Vec<_>, Vec<_>) = fields
        .iter()
        .filter(|(_, value)| !value.is_null())
        .partition(|(name, _)| matches!(name.as_str(), "id" | "name"));
    let row = |(name, value): (&String, &Value)| vec![name.replace('_', "-"), words(value)];
    aligned(&first.into_iter().chain(others).map(row).collect::<Vec<_>>())
}

/// A value in words; nothing for what is not there.
pub(crate) fn words(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => text.clone(),
        Value::Array(items) => items.iter().map(words).collect::<Vec<_>>().join(", "),
        Value::Object(fields) => {
            let told = fields.iter().filter(|(_, value)| !value.is_null());
            told.map(|(name, value)| format!("{name} {}", words(value))).collect::<Vec<_>>().join(", ")
        }
    }
}

/// Where two documents differ, a line each, and how many more there are.
pub(crate) fn differences(list: &Value, more: &Value) -> String {
    let side = |value: &Value| if value.is_null() { "nothing".to_owned() } else { words(value) };
    let one = |one: &Value| format!("  {}: {} -> {}\n", words(&one["place"]), side(&one["from"]), side(&one["to"]));
    let mut out: String = list.as_array().into_iter().flatten().map(one).collect();
    if more.as_u64().is_some_and(|more| more > 0) {
        out += &format!("  and {more} more\n");
    }
    out
}

/// A moment, given in milliseconds since 1970: by UTC, to the second.
pub(crate) fn moment(ms: &Value) -> String {
    let at = ms.as_i64().and_then(|ms| jiff::Timestamp::from_millisecond(ms).ok());
    at.map_or_else(String::new, |at| at.strftime("%Y-%m-%d %H:%M:%S UTC").to_string())
}

/// Rows with their cells one below the other.
fn aligned(rows: &[Vec<String>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |at: usize| rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.chars().count()).max();
    let widths: Vec<usize> = (0..columns).map(|at| width(at).unwrap_or(0)).collect();
    let mut out = String::new();
    for row in rows {
        let cells: Vec<String> = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        out += cells.join("  ").trim_end();
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn cells_stand_below_their_headings() {
        let list =
            json!({ "items": [{ "value": { "id": "ama", "tags": ["a", "b"] } }, { "value": { "id": "zofia" } }] });
        let text = table(&list, &[column("id", "/value/id"), column("tags", "/value/tags")]);
        assert_eq!(text, "id     tags\nama    a, b\nzofia\n");
        assert_eq!(table(&json!({ "items": [] }), &[column("id", "/id")]), "none\n");
    }

    #[test]
    fn a_moment_is_told_by_utc() {
        assert_eq!(moment(&json!(1_765_130_400_000_i64)), "2025-12-07 18:00:00 UTC");
        assert_eq!(moment(&Value::Null), "");
    }
}
