//! What can be wrong with a floor plan, one sentence each.
//!
//! Athletes, bouts, heats, bars and stages are named by position, as the floor counts them from 0; whoever shows the
//! sentence to a coach puts names beside it.

use thiserror::Error;

/// One rule of the floor that a plan breaks.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum FloorFault {
    /// A list of the plan has the wrong length.
    #[error("the plan has {found} {what} where the floor needs {wanted}")]
    Length {
        /// Which list.
        what: &'static str,
        /// Its length.
        found: usize,
        /// The length it has to have.
        wanted: usize,
    },
    /// More heats than allowed.
    #[error("the plan has {heats} heats, and the floor allows {most}")]
    TooManyHeats {
        /// Heats of the plan.
        heats: u32,
        /// Most heats.
        most: u32,
    },
    /// A heat without an athlete.
    #[error("heat {heat} has no athlete")]
    EmptyHeat {
        /// The heat.
        heat: u32,
    },
    /// An athlete in a heat that is not there.
    #[error("athlete {athlete} is in heat {heat}, which the plan does not have")]
    NoSuchHeat {
        /// The athlete.
        athlete: u32,
        /// The heat.
        heat: u32,
    },
    /// A bout that never starts.
    #[error("athlete {athlete}, bout {bout}: heat {heat} has no start at stage {stage}")]
    NoStart {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The heat.
        heat: u32,
        /// The stage.
        stage: u32,
    },
    /// A start at which nobody works.
    #[error("heat {heat} has a start at stage {stage} (second {second}), where nobody of it has a bout")]
    IdleStart {
        /// The heat.
        heat: u32,
        /// The stage.
        stage: u32,
        /// The start.
        second: u32,
    },
    /// A bout that would end after the last second that can be told.
    #[error("athlete {athlete}, bout {bout}: starts at second {second}, beyond any class")]
    BeyondTime {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its start.
        second: u32,
    },
    /// A start that is not on the step.
    #[error("heat {heat} starts stage {stage} at second {second}, which is no multiple of {step}")]
    OffStep {
        /// The heat.
        heat: u32,
        /// The stage.
        stage: u32,
        /// The start.
        second: u32,
        /// The step.
        step: u32,
    },
    /// A start before the athlete is there.
    #[error("athlete {athlete}, bout {bout}: starts at second {second}, but is ready at {ready}")]
    NotReady {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its start.
        second: u32,
        /// When the athlete is ready.
        ready: u32,
    },
    /// Less rest than written, or a bout before the one it follows has ended.
    #[error("athlete {athlete}, bout {bout}: {}, at least {least} s of rest are written", rested(*rest))]
    ShortRest {
        /// The athlete.
        athlete: u32,
        /// The bout before the rest.
        bout: u32,
        /// The rest; negative where the next bout starts before this one ends.
        rest: i64,
        /// Least rest.
        least: u32,
    },
    /// More rest than written.
    #[error("athlete {athlete}, bout {bout}: {}, at most {most} s of rest are written", rested(*rest))]
    LongRest {
        /// The athlete.
        athlete: u32,
        /// The bout before the rest.
        bout: u32,
        /// The rest.
        rest: i64,
        /// Most rest.
        most: u32,
    },
    /// A new start in the past.
    #[error("athlete {athlete}, bout {bout}: is given the start {second}, but it is second {now} already")]
    InThePast {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its start.
        second: u32,
        /// The present second.
        now: u32,
    },
    /// A start that has happened is told otherwise.
    #[error("athlete {athlete}, bout {bout}: started at second {was}, the plan says {second}")]
    RewrittenStart {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its start in the new plan.
        second: u32,
        /// When it started.
        was: u32,
    },
    /// The bar of a start that has happened is told otherwise.
    #[error("athlete {athlete}, bout {bout}: has started, and the plan gives it another bar than it has")]
    RewrittenBar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
    },
    /// More work at once than the coach can watch.
    #[error("at second {second} the coach would watch {watched}, at most {span} are allowed")]
    Coach {
        /// The first second.
        second: u32,
        /// Sum of the weights.
        watched: u64,
        /// The coach's span.
        span: u32,
    },
    /// More kit at once than there is.
    #[error("at second {second} {claimed} of {kit} are claimed, and there are {there}")]
    Kit {
        /// What.
        kit: String,
        /// The first second.
        second: u32,
        /// Claimed by the class and by others.
        claimed: u64,
        /// How many there are.
        there: u32,
    },
    /// More plates of a mass at once than there are.
    #[error("at second {second} {held} pairs of {plate} plates are on bars, and there are {there}")]
    Plates {
        /// The mass of one, for example `20 kg`.
        plate: String,
        /// The first second.
        second: u32,
        /// Pairs held by the class and by others.
        held: u64,
        /// Pairs there are.
        there: u32,
    },
    /// A bout that needs a bar has none.
    #[error("athlete {athlete}, bout {bout}: needs a bar and has none")]
    NoBar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
    },
    /// A bout has a bar and needs none.
    #[error("athlete {athlete}, bout {bout}: has bar {bar} and needs none")]
    NeedlessBar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The bar.
        bar: u32,
    },
    /// A bar that is not there.
    #[error("athlete {athlete}, bout {bout}: bar {bar} is not on the floor")]
    NoSuchBar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The bar.
        bar: u32,
    },
    /// A bar of another type.
    #[error("athlete {athlete}, bout {bout}: bar {bar} is not of the type that is needed")]
    WrongBar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The bar.
        bar: u32,
    },
    /// A bar is not free, or not yet loaded, when the bout starts.
    #[error(
        "athlete {athlete}, bout {bout}: starts at second {second} on bar {bar}, free from {free} with {change} s of changing plates"
    )]
    BarTooSoon {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The bar.
        bar: u32,
        /// The start of the bout.
        second: u32,
        /// When the bar is free.
        free: u32,
        /// Seconds that the change takes.
        change: u32,
    },
    /// Partners in different heats.
    #[error("athlete {first} and athlete {second} work together and are in different heats")]
    NotTogether {
        /// One of them.
        first: u32,
        /// The other.
        second: u32,
    },
    /// Athletes in one heat who are kept apart.
    #[error("athlete {first} and athlete {second} are kept apart and are in one heat")]
    NotApart {
        /// One of them.
        first: u32,
        /// The other.
        second: u32,
    },
}

/// From the end of a bout to the next.
fn rested(rest: i64) -> String {
    match rest {
        0.. => format!("the next starts {rest} s after it"),
        _ => format!("the next starts {} s before it ends", rest.unsigned_abs()),
    }
}

impl FloorFault {
    /// The rule's id, as it stands beside a refused floor plan.
    pub const fn id(&self) -> &'static str {
        match self {
            FloorFault::Length { .. } => "plan-incomplete",
            FloorFault::TooManyHeats { .. } => "too-many-heats",
            FloorFault::EmptyHeat { .. } => "empty-heat",
            FloorFault::NoSuchHeat { .. } => "no-such-heat",
            FloorFault::NoStart { .. } => "no-start",
            FloorFault::IdleStart { .. } => "idle-start",
            FloorFault::BeyondTime { .. } => "beyond-time",
            FloorFault::OffStep { .. } => "off-step",
            FloorFault::NotReady { .. } => "not-ready",
            FloorFault::ShortRest { .. } => "short-rest",
            FloorFault::LongRest { .. } => "long-rest",
            FloorFault::InThePast { .. } => "in-the-past",
            FloorFault::RewrittenStart { .. } => "rewritten-start",
            FloorFault::RewrittenBar { .. } => "rewritten-bar",
            FloorFault::Coach { .. } => "coach-span",
            FloorFault::Kit { .. } => "kit-over-claimed",
            FloorFault::Plates { .. } => "plates-over-claimed",
            FloorFault::NoBar { .. } => "no-bar",
            FloorFault::NeedlessBar { .. } => "needless-bar",
            FloorFault::NoSuchBar { .. } => "no-such-bar",
            FloorFault::WrongBar { .. } => "wrong-bar",
            FloorFault::BarTooSoon { .. } => "bar-too-soon",
            FloorFault::NotTogether { .. } => "not-together",
            FloorFault::NotApart { .. } => "not-apart",
        }
    }
}
