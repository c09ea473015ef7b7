//! What a roster says of somebody, field by field.

use serde_json::{Map, Value, json};

use crate::error::CliError;

/// Somebody new.
#[derive(clap::Args)]
pub(crate) struct NewFields {
    /// Their id: small letters, digits and hyphens.
    pub(super) id: String,
    /// Name as the coach reads it out.
    name: String,
    /// The written load column that they follow, 1 or 2.
    #[arg(long, value_name = "1|2", default_value_t = 1)]
    column: u32,
    /// Skill, 1 to 5.
    #[arg(long, value_name = "1-5", default_value_t = 1)]
    skill: u32,
    /// Where they train: floor, or the id of a home.
    #[arg(long, value_name = "PLACE", default_value = "floor")]
    place: String,
    #[command(flatten)]
    more: More,
}

/// What changes.
#[derive(clap::Args)]
pub(crate) struct Fields {
    /// Name as the coach reads it out.
    #[arg(long)]
    name: Option<String>,
    /// The written load column that they follow, 1 or 2.
    #[arg(long, value_name = "1|2")]
    column: Option<u32>,
    /// Skill, 1 to 5.
    #[arg(long, value_name = "1-5")]
    skill: Option<u32>,
    /// Where they train: floor, or the id of a home.
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    #[command(flatten)]
    more: More,
    /// Take this away again: bar, training-share, return-week, age, mass or tags.
    #[arg(long, value_name = "FIELD", value_parser = ["bar", "training-share", "return-week", "age", "mass", "tags"])]
    without: Vec<String>,
}

/// What need not be said.
#[derive(clap::Args)]
struct More {
    /// The type of bar that they use, such as bar-15.
    #[arg(long, value_name = "TYPE")]
    bar: Option<String>,
    /// The share of a best that percentages are taken of, such as "90 %".
    #[arg(long, value_name = "SHARE")]
    training_share: Option<String>,
    /// Week since they came back from a break, from 1.
    #[arg(long, value_name = "N")]
    return_week: Option<u32>,
    /// Whole years.
    #[arg(long, value_name = "N")]
    age: Option<u32>,
    /// Body mass, such as "66 kg".
    #[arg(long, value_name = "MASS")]
    mass: Option<String>,
    /// Words that the gym puts on them; all of them at once.
    #[arg(long, value_name = "WORD")]
    tag: Vec<String>,
}

impl NewFields {
    /// As a record.
    pub(super) fn record(&self) -> Value {
        let NewFields { id, name, column, skill, place, more } = self;
        let mut record = json!({ "id": id, "name": name, "column": column, "skill": skill, "place": place });
        if let Some(record) = record.as_object_mut() {
            more.put(record);
        }
        record
    }
}

impl Fields {
    /// Puts what is named into a record.
    pub(super) fn apply(&self, record: &mut Value) -> Result<(), CliError> {
        let mut said = Map::new();
        put(&mut said, "name", &self.name);
        put(&mut said, "column", &self.column);
        put(&mut said, "skill", &self.skill);
        put(&mut said, "place", &self.place);
        self.more.put(&mut said);
        if said.is_empty() && self.without.is_empty() {
            return Err(CliError::new("error: what changes? Name a field, such as --skill 4", 2));
        }
        if let Some(record) = record.as_object_mut() {
            for field in &self.without {
                record.remove(field);
            }
            record.extend(said);
        }
        Ok(())
    }
}

impl More {
    fn put(&self, record: &mut Map<String, Value>) {
        put(record, "bar", &self.bar);
        put(record, "training-share", &self.training_share);
        put(record, "return-week", &self.return_week);
        put(record, "age", &self.age);
        put(record, "mass", &self.mass);
        put(record, "tags", &(!self.tag.is_empty()).then(|| self.tag.clone()));
    }
}

fn put<T: Clone + Into<Value>>(record: &mut Map<String, Value>, field: &str, value: &Option<T>) {
    if let Some(value) = value {
        record.insert(field.to_owned(), value.clone().into());
    }
}
