//! Texts as they come: without the blanks around them, and a time of day or a length in whichever way it was written.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, Visitor};

/// A text.
pub(super) fn text<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    Ok(trimmed(String::deserialize(from)?))
}

/// A text that may be missing; an empty one is.
pub(super) fn maybe_text<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    Ok(Option::<String>::deserialize(from)?.map(trimmed).filter(|text| !text.is_empty()))
}

/// Texts.
pub(super) fn texts<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    Ok(Vec::<String>::deserialize(from)?.into_iter().map(trimmed).collect())
}

/// Texts that may be missing; an empty list is one that names nobody.
pub(super) fn maybe_texts<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Vec<String>>, D::Error> {
    Ok(Option::<Vec<String>>::deserialize(from)?.map(|texts| texts.into_iter().map(trimmed).collect()))
}

/// Pairs of texts.
pub(super) fn pairs<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<[String; 2]>, D::Error> {
    Ok(Vec::<[String; 2]>::deserialize(from)?.into_iter().map(|pair| pair.map(trimmed)).collect())
}

/// Tags: a roster separates them by semicolons.
pub(super) fn tags<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    let tags = texts(from)?;
    match tags.iter().find(|tag| tag.is_empty() || tag.contains(';')) {
        Some(tag) => Err(D::Error::custom(format!("`{tag}` is no tag; write a word or a few, without a semicolon"))),
        None => Ok(tags),
    }
}

/// A length of time that may be missing: a text such as `1:30`, or whole seconds.
pub(super) fn maybe_time<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    struct Time(String);
    struct Reader;
    impl Visitor<'_> for Reader {
        type Value = Time;
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a time such as 1:30, or whole seconds")
        }
        fn visit_str<E: Error>(self, text: &str) -> Result<Time, E> {
            Ok(Time(text.trim().to_owned()))
        }
        fn visit_u64<E: Error>(self, seconds: u64) -> Result<Time, E> {
            Ok(Time(format!("{seconds} s")))
        }
        fn visit_i64<E: Error>(self, seconds: i64) -> Result<Time, E> {
            u64::try_from(seconds).map_err(|_| E::custom("no time is below nothing")).and_then(|s| self.visit_u64(s))
        }
    }
    impl<'de> Deserialize<'de> for Time {
        fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Time, D::Error> {
            from.deserialize_any(Reader)
        }
    }
    Ok(Option::<Time>::deserialize(from)?.map(|Time(text)| text).filter(|text| !text.is_empty()))
}

fn trimmed(text: String) -> String {
    match text.trim() {
        whole if whole.len() == text.len() => text,
        part => part.to_owned(),
    }
}
