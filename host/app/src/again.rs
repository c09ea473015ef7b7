//! What has happened to a class, as it is sent and kept: the words of `classwright replan`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::AppError;
use crate::replan::{At, Happened, KitCount, Late};

/// What has happened to a class since it was planned.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Again {
    /// When it is: the clock on the wall (`18:22`) or how far in (`+22:00`). Absent: as the plan has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Kit in service from now on, such as `20 kg bar=5`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kit: Vec<String>,
    /// Who comes late, such as `ama=+7:00`: nothing of theirs starts before that.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub late: Vec<String>,
    /// Who is gone: ids or names.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gone: Vec<String>,
    /// Whether to say what holds the class up, and what more would give.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub why: bool,
    /// How much the heat policy may search; absent: as the plan has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effort: Option<u64>,
}

/// The most effort that may be asked for.
const MOST_EFFORT: u64 = 100_000_000;

impl Again {
    /// What it means.
    pub(crate) fn read(&self) -> Result<Happened, AppError> {
        let wrong = |field: String| move |problem: String| AppError::Input { field: Some(field), problem };
        let at = self.at.as_deref().map(str::parse::<At>).transpose().map_err(wrong("at".into()))?;
        let (mut kit, mut late) = (Vec::new(), Vec::new());
        for (n, text) in self.kit.iter().enumerate() {
            kit.push(text.parse::<KitCount>().map_err(wrong(format!("kit[{n}]")))?);
        }
        for (n, text) in self.late.iter().enumerate() {
            late.push(text.parse::<Late>().map_err(wrong(format!("late[{n}]")))?);
        }
        if self.effort.is_some_and(|effort| effort > MOST_EFFORT) {
            return Err(AppError::input("effort", format!("is more than {MOST_EFFORT}: ask for less")));
        }
        Ok(Happened { at, kit, late, gone: self.gone.clone(), why: self.why, effort: self.effort })
    }
}
