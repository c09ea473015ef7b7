//! The plan as a document: what `--json` prints and `classwright schema plan` describes.
//!
//! Wire types only. They change by addition; kilograms are decimal numbers, times whole seconds from the start of the
//! class, ids the gym's own. Parts, items, sets and heats are counted from 1, as a coach counts.

mod asked;
mod cards;
mod changes;
mod day;
mod floor;
mod occasion;
mod words;

use classwright_planning::{By, Class, Component, Plan};
use classwright_policies::PolicyFailure;
use classwright_training::{AthleteIx, notation};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub(crate) use asked::OUT_OF_SERVICE_S;
pub use asked::{
    AskedAthleteDoc, AskedBarDoc, AskedBarKindDoc, AskedBoutDoc, AskedDoc, AskedKitDoc, AskedLaterDoc, AskedPlatesDoc,
    AskedTakenDoc, NamedFloor, PlaceError,
};
pub use cards::{CardDoc, ItemDoc, LoadDoc, MovementDoc, TraceDoc};
pub use changes::{BindsDoc, ChangeDoc, GivesDoc, WhyDoc};
pub use classwright_training::time::clock;
pub use day::{DayClassDoc, DayDoc, WaitDoc};
pub use floor::{BarDoc, BarUseDoc, FloorDoc, HeatDoc, StartDoc};
pub use occasion::Occasion;
pub(crate) use occasion::iso;

use crate::cautions;

/// A plan of one class.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanDoc {
    /// What was written, and when its parts run.
    pub session: SessionDoc,
    /// One for each athlete checked in, in roster order.
    pub cards: Vec<CardDoc>,
    /// Who starts when, with which bar.
    pub floor: FloorDoc,
    /// What went wrong with a policy; empty on a good day.
    pub faults: Vec<FaultDoc>,
    /// What everybody should know before they start, and what the coach should know about this class.
    pub cautions: Vec<CautionDoc>,
    /// The policies that were asked, in order. With their digests the plan can be made again to the same bytes.
    pub components: Vec<ComponentDoc>,
    /// Where the class was planned anew: what is different from the plan before, in the order to read it out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<ChangeDoc>,
    /// Where it was asked for: what holds the class up, and what more would give.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<WhyDoc>,
}

/// A session with its times.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SessionDoc {
    /// Title.
    pub title: String,
    /// Name of the gym.
    pub gym: String,
    /// The class that was planned, by its name in the gym folder; absent where a session was planned by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// Day, ISO 8601: the class's, or else the one that stands in the session.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// When the class starts, on the clock on the wall: `18:00`. All seconds are counted from then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub starts: Option<String>,
    /// The zone of that clock, by its IANA name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// Who coaches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coach: Option<String>,
    /// Length of the class.
    pub length_s: u32,
    /// End of the last bout on the floor.
    pub finish_s: u32,
    /// True where there is a floor plan that is done by the end of the class, or nobody on the floor.
    pub fits: bool,
    /// What the coach wants from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub intent: Option<String>,
    /// In order.
    pub parts: Vec<PartDoc>,
}

/// A part with its times.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartDoc {
    /// From 1.
    pub part: u32,
    /// `preparation`, `skill`, `strength`, `conditioning` or `cool-down`.
    pub kind: String,
    /// Its heading, as written.
    pub heading: String,
    /// First start on the floor.
    pub start_s: u32,
    /// Last end on the floor.
    pub end_s: u32,
    /// Who needs the least time for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quickest: Option<NeededDoc>,
    /// Who needs the most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slowest: Option<NeededDoc>,
    /// Athlete ids of those who work together, a list a team.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub teams: Vec<Vec<String>>,
    /// The coach's notes.
    pub notes: Vec<String>,
}

/// How long an athlete needs for a part.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NeededDoc {
    /// Athlete id.
    pub athlete: String,
    /// Typical seconds, rests included.
    pub seconds: u32,
}

/// A policy's failure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultDoc {
    /// Policy.
    pub policy: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of the component, hexadecimal.
    pub digest: String,
    /// What was called.
    pub call: String,
    /// Kind of failure; the table is in DEVELOPERS.md.
    pub kind: String,
    /// The rule that was broken, where one was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// One sentence for the coach.
    pub for_coach: String,
    /// One sentence for the policy's author.
    pub for_author: String,
    /// Ids of those whose cards stand as they were and need the coach.
    pub athletes: Vec<String>,
}

/// Something to know before starting.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CautionDoc {
    /// `safety` for everybody, `class` for the coach.
    pub about: String,
    /// One or two sentences.
    pub text: String,
}

/// A policy that was asked.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ComponentDoc {
    /// Name.
    pub policy: String,
    /// Version.
    pub version: String,
    /// SHA-256 of the component, hexadecimal.
    pub digest: String,
    /// What was called.
    pub call: String,
    /// Fuel it used: its own instructions, the same for the same question.
    pub fuel: u64,
}

impl PlanDoc {
    /// The document of a plan.
    pub fn new(occasion: &Occasion<'_>, class: &Class<'_>, plan: &Plan) -> Self {
        let floor = FloorDoc::new(class, plan);
        let session = session(occasion, class, plan, floor.finish_s);
        let faults = plan.faults.iter().map(|fault| fault_doc(class, fault)).collect();
        let safety = cautions::TEXTS.iter().map(|text| caution("safety", text));
        let notices = plan.notices.iter().map(|text| caution("class", text));
        PlanDoc {
            session,
            cards: plan.cards.iter().map(|card| CardDoc::new(class, plan, card)).collect(),
            floor,
            faults,
            cautions: safety.chain(notices).collect(),
            components: plan.components.iter().map(component_doc).collect(),
            changes: Vec::new(),
            why: None,
        }
    }
}

fn session(occasion: &Occasion<'_>, class: &Class<'_>, plan: &Plan, finish_s: u32) -> SessionDoc {
    let session = class.session;
    let needed = |needed: Option<(AthleteIx, u32)>| {
        needed.map(|(ix, seconds)| NeededDoc { athlete: class.athlete(ix).id.clone(), seconds })
    };
    let parts = session.parts.iter().zip(&plan.times).enumerate();
    SessionDoc {
        title: session.title.clone(),
        gym: occasion.gym.into(),
        class: occasion.class(),
        date: occasion.date().or(session.date).map(occasion::iso),
        starts: occasion.starts(),
        zone: occasion.zone(),
        coach: occasion.coach(),
        length_s: session.length_s,
        finish_s,
        // Without a floor plan nobody knows; with nobody on the floor there is nothing that could not fit.
        fits: finish_s <= session.length_s && (finish_s > 0 || plan.floor.athletes.is_empty()),
        intent: session.intent.clone(),
        parts: parts
            .map(|(at, (part, time))| PartDoc {
                part: at as u32 + 1,
                kind: part.kind.id().into(),
                heading: notation::heading(part),
                start_s: time.start_s,
                end_s: time.end_s,
                quickest: needed(time.quickest),
                slowest: needed(time.slowest),
                teams: teams(class, plan, at),
                notes: part.notes.clone(),
            })
            .collect(),
    }
}

fn teams(class: &Class<'_>, plan: &Plan, part: usize) -> Vec<Vec<String>> {
    let id = |&at: &u32| class.athlete(plan.floor.athletes[at as usize]).id.clone();
    let own = plan.floor.teams.iter().filter(|teams| teams.part == part).flat_map(|teams| &teams.teams);
    own.map(|team| team.iter().map(id).collect()).collect()
}

fn fault_doc(class: &Class<'_>, fault: &classwright_planning::Fault) -> FaultDoc {
    failure_doc(&fault.failure, fault.athletes.iter().map(|ix| class.athlete(*ix).id.clone()).collect())
}

/// A failure, and the ids of those whom it left with the coach.
pub(crate) fn failure_doc(failure: &PolicyFailure, athletes: Vec<String>) -> FaultDoc {
    FaultDoc {
        policy: failure.policy.clone(),
        version: failure.version.clone(),
        digest: failure.digest.clone(),
        call: failure.call.into(),
        kind: failure.kind.id().into(),
        rule: match &failure.kind {
            classwright_policies::FailureKind::RuleBroken { rule, .. } => Some(rule.clone()),
            _ => None,
        },
        for_coach: failure.kind.for_coach(),
        for_author: failure.kind.for_author(),
        athletes,
    }
}

/// A policy that was asked.
pub(crate) fn component_doc(component: &Component) -> ComponentDoc {
    ComponentDoc {
        policy: component.name.clone(),
        version: component.version.clone(),
        digest: component.digest.clone(),
        call: component.call.into(),
        fuel: component.fuel,
    }
}

fn caution(about: &str, text: &str) -> CautionDoc {
    CautionDoc { about: about.into(), text: text.into() }
}

/// Who made a change, in a word; for a policy its name and version too.
fn by(plan: &Plan, by: &By) -> (&'static str, Option<(String, String)>) {
    match by {
        By::Coach => ("coach", None),
        By::Host => ("host", None),
        By::Policy(at) => {
            let component = &plan.components[*at];
            ("policy", Some((component.name.clone(), component.version.clone())))
        }
    }
}
