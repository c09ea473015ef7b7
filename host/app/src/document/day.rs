//! A day on the wire: what `day --json` prints and `classwright schema day` describes.

use classwright_planning::{Waits, wall_clock};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::PlanDoc;
use crate::hour::Hour;

/// The classes of one day in one room.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DayDoc {
    /// Name of the gym.
    pub gym: String,
    /// Day, ISO 8601.
    pub date: String,
    /// In order of start; each is planned around those before it.
    pub classes: Vec<DayClassDoc>,
}

/// A class of the day.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DayClassDoc {
    /// Its name in the gym folder.
    pub class: String,
    /// Start on the clock on the wall: `18:00`.
    pub starts: String,
    /// End of its floor plan on that clock; absent where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub floor_done: Option<String>,
    /// When its time is up, on that clock.
    pub time_up: String,
    /// End of the plan with all kit there, in seconds from the start; absent where nobody else holds any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alone_finish_s: Option<u32>,
    /// What other classes hold and this one waits for, the longest first. Found by planning again with it there.
    pub waits: Vec<WaitDoc>,
    /// The plan. It stands by itself.
    pub plan: PlanDoc,
}

/// Kit that others hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaitDoc {
    /// What.
    pub kit: String,
    /// By so many seconds the class would be done earlier if nobody else held it.
    pub seconds: u32,
}

impl DayClassDoc {
    /// A planned class of a day.
    pub(crate) fn new(plan: &PlanDoc, hour: &Hour, waits: Option<&Waits>) -> Self {
        let session = &plan.session;
        let clock = |second| wall_clock(hour.clock_s(), second);
        let each = waits.iter().flat_map(|waits| &waits.each);
        DayClassDoc {
            class: session.class.clone().unwrap_or_default(),
            starts: clock(0),
            floor_done: (!plan.floor.heats.is_empty()).then(|| clock(session.finish_s)),
            time_up: clock(session.length_s),
            alone_finish_s: waits.and_then(|waits| waits.alone_s),
            waits: each.map(|(kit, seconds)| WaitDoc { kit: kit.clone(), seconds: *seconds }).collect(),
            plan: plan.clone(),
        }
    }
}
