//! Values of TOML as JSON.

use serde_json::{Map, Number, Value as Json};
use toml::Spanned;
use toml::de::DeValue;

use super::toml::Value;

/// A value as JSON; dates and times become texts.
pub(crate) fn json(value: &Value<'_>) -> Result<Json, String> {
    Ok(match value {
        DeValue::String(text) => Json::String(text.to_string()),
        DeValue::Integer(number) => {
            let read = i64::from_str_radix(number.as_str(), number.radix());
            read.map(Json::from).map_err(|_| format!("holds {number}, too large a number; at most 64 bits"))?
        }
        DeValue::Float(number) => {
            let read = number.as_str().parse().ok().and_then(Number::from_f64);
            read.map(Json::Number).ok_or_else(|| format!("holds {number}, which JSON cannot say; write a number"))?
        }
        DeValue::Boolean(yes) => Json::Bool(*yes),
        DeValue::Datetime(when) => Json::String(when.to_string()),
        DeValue::Array(values) => {
            Json::Array(values.iter().map(|value| json(value.get_ref())).collect::<Result<_, String>>()?)
        }
        DeValue::Table(table) => {
            let row = |(key, value): (&Spanned<_>, &Spanned<Value<'_>>)| {
                Ok((std::borrow::Cow::to_string(key.get_ref()), json(value.get_ref())?))
            };
            Json::Object(table.iter().map(row).collect::<Result<Map<_, _>, String>>()?)
        }
    })
}
