//! How a value is read and written.

use config::{Value, ValueKind};

/// A kind of value.
pub(super) trait Kind: Sized {
    fn read(value: Value) -> Result<Self, String>;
    fn written(&self) -> String;
}

impl Kind for String {
    fn read(value: Value) -> Result<Self, String> {
        match value.kind {
            ValueKind::String(text) => Ok(text),
            other => Err(format!("has to be a text in quotes, not {other}")),
        }
    }

    fn written(&self) -> String {
        format!("{self:?}")
    }
}

impl Kind for u32 {
    fn read(value: Value) -> Result<Self, String> {
        let shown = value.to_string();
        match value.kind {
            ValueKind::String(_) | ValueKind::I64(_) | ValueKind::U64(_) => {
                let number = value.into_uint().ok().and_then(|number| u32::try_from(number).ok());
                number.ok_or_else(|| format!("has to be a whole number, not {shown}"))
            }
            _ => Err(format!("has to be a whole number, not {shown}")),
        }
    }

    fn written(&self) -> String {
        self.to_string()
    }
}

impl Kind for Vec<String> {
    fn read(value: Value) -> Result<Self, String> {
        match value.kind {
            ValueKind::String(text) => {
                Ok(text.split(',').map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()).collect())
            }
            ValueKind::Array(items) => items.into_iter().map(String::read).collect(),
            other => Err(format!("has to be a list of texts, not {other}")),
        }
    }

    fn written(&self) -> String {
        format!("{self:?}")
    }
}
