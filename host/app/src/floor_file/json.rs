//! JSON as it stands in a file: names in their order, and a name that stands twice in one object is an error.

use std::fmt;

use serde::Deserialize;
use serde::de::{Deserializer, Error, MapAccess, SeqAccess, Visitor};

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Json {
    Null,
    Truth(bool),
    Whole(i128),
    Decimal(f64),
    Text(String),
    List(Vec<Json>),
    Object(Vec<(String, Json)>),
}

impl fmt::Display for Json {
    /// As an error message shows it: short, and on one line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Json::Null => f.write_str("null"),
            Json::Truth(truth) => write!(f, "{truth}"),
            Json::Whole(number) => write!(f, "{number}"),
            Json::Decimal(number) => write!(f, "{number:?}"),
            Json::Text(text) if text.chars().count() > 40 => {
                write!(f, "{:?}...", text.chars().take(40).collect::<String>())
            }
            Json::Text(text) => write!(f, "{text:?}"),
            Json::List(list) => write!(f, "a list of {}", list.len()),
            Json::Object(_) => f.write_str("an object"),
        }
    }
}

impl<'de> Deserialize<'de> for Json {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyValue)
    }
}

struct AnyValue;

impl<'de> Visitor<'de> for AnyValue {
    type Value = Json;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_unit<E>(self) -> Result<Json, E> {
        Ok(Json::Null)
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Json, E> {
        Ok(Json::Truth(truth))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Json, E> {
        Ok(Json::Whole(number.into()))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Json, E> {
        Ok(Json::Whole(number.into()))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Json, E> {
        Ok(Json::Decimal(number))
    }

    fn visit_str<E>(self, text: &str) -> Result<Json, E> {
        Ok(Json::Text(text.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut entries: A) -> Result<Json, A::Error> {
        let mut list = Vec::new();
        while let Some(entry) = entries.next_element()? {
            list.push(entry);
        }
        Ok(Json::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Json, A::Error> {
        let mut object: Vec<(String, Json)> = Vec::new();
        let mut names = std::collections::BTreeSet::new();
        while let Some((name, value)) = entries.next_entry::<String, Json>()? {
            if !names.insert(name.clone()) {
                return Err(A::Error::custom(format!("{name:?} stands twice in one object")));
            }
            object.push((name, value));
        }
        Ok(Json::Object(object))
    }
}
