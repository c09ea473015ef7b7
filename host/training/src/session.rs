//! What the coach wrote, read. Names are resolved: an item points at movements of the library.
//!
//! How it is written is the business of the notation (grammar in DEVELOPERS.md); this module is its meaning.

use crate::{KitIx, MovementIx, Region, Severity, Sides, Unit};

/// A written session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// First heading.
    pub title: String,
    /// Day it is meant for.
    pub date: Option<Date>,
    /// Length of the class in seconds.
    pub length_s: u32,
    /// What the coach wants from it.
    pub intent: Option<String>,
    /// What policies may raise above the written, for this class.
    pub allow: Allow,
    /// In order.
    pub parts: Vec<Part>,
}

/// A calendar day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Year.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

impl Date {
    /// Days of a month; none where there is no such month.
    pub fn days_of_month(year: u16, month: u8) -> u8 {
        let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => 0,
        }
    }

    /// Whether there is such a day.
    pub fn exists(self) -> bool {
        (1..=Date::days_of_month(self.year, self.month)).contains(&self.day)
    }
}

/// What policies may raise above the written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Allow {
    /// Loads.
    pub load: bool,
    /// Volume.
    pub volume: bool,
    /// Demand on a region.
    pub demand: bool,
}

/// A block of the session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Kind.
    pub kind: PartKind,
    /// Its own name, if it has one.
    pub name: Option<String>,
    /// How it runs.
    pub scheme: Scheme,
    /// Who works together.
    pub team: Team,
    /// Items, in groups; one group without a heading is the usual case.
    pub groups: Vec<Group>,
    /// The coach's lines that hold for the whole part.
    pub fallbacks: Vec<Fallback>,
    /// Free text, a paragraph or quote each.
    pub notes: Vec<String>,
    /// Line of its heading, from 1.
    pub line: u32,
}

/// Kind of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// Preparation.
    Preparation,
    /// Skill.
    Skill,
    /// Strength.
    Strength,
    /// Conditioning.
    Conditioning,
    /// Cool-down.
    CoolDown,
}

impl PartKind {
    /// All kinds.
    pub const ALL: [PartKind; 5] =
        [PartKind::Preparation, PartKind::Skill, PartKind::Strength, PartKind::Conditioning, PartKind::CoolDown];

    /// The id used in headings (capitalised), JSON and the contract.
    pub const fn id(self) -> &'static str {
        match self {
            PartKind::Preparation => "preparation",
            PartKind::Skill => "skill",
            PartKind::Strength => "strength",
            PartKind::Conditioning => "conditioning",
            PartKind::CoolDown => "cool-down",
        }
    }
}

/// How a part runs. All times in seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scheme {
    /// So many rounds, at the athlete's own pace.
    Rounds {
        /// How many.
        rounds: u32,
        /// Rest between rounds.
        rest_s: u32,
    },
    /// Straight sets with a rest after each.
    Sets {
        /// How many.
        sets: u32,
        /// Least rest.
        rest_s: u32,
        /// Most rest, where the coach wrote a range.
        rest_most_s: Option<u32>,
    },
    /// A set at the start of each interval.
    IntervalSets {
        /// Length of the interval.
        every_s: u32,
        /// How many.
        sets: u32,
    },
    /// So many rounds as fast as they can be done well.
    ForTime {
        /// How many.
        rounds: u32,
        /// Rest between rounds.
        rest_s: u32,
        /// The part ends here at the latest.
        cap_s: Option<u32>,
    },
    /// Rounds whose repetitions are this list, for time: descending (12-9-6), rising or both.
    RepsForTime {
        /// Repetitions in each round.
        reps: Vec<u32>,
        /// The part ends here at the latest.
        cap_s: Option<u32>,
    },
    /// As many rounds as possible.
    AsManyRounds {
        /// How long.
        limit_s: u32,
    },
    /// One item each minute, in turn.
    EveryMinute {
        /// How long in all.
        total_s: u32,
    },
    /// Work and rest by the clock.
    WorkRest {
        /// How many intervals.
        intervals: u32,
        /// Work.
        work_s: u32,
        /// Rest.
        rest_s: u32,
    },
    /// A ladder that rises until time is up.
    Ladder {
        /// Repetitions in the first round.
        from: u32,
        /// More in each further round.
        step: u32,
        /// How long.
        limit_s: u32,
    },
}

impl Scheme {
    /// The id used in JSON and the contract.
    pub const fn id(&self) -> &'static str {
        match self {
            Scheme::Rounds { .. } => "rounds",
            Scheme::Sets { .. } => "sets",
            Scheme::IntervalSets { .. } => "interval-sets",
            Scheme::ForTime { .. } | Scheme::RepsForTime { .. } => "for-time",
            Scheme::AsManyRounds { .. } => "as-many-rounds",
            Scheme::EveryMinute { .. } => "every-minute",
            Scheme::WorkRest { .. } => "work-rest",
            Scheme::Ladder { .. } => "ladder",
        }
    }
}

/// Who works together in a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Team {
    /// Each alone.
    Alone,
    /// Pairs; one works while the other rests.
    Pairs,
    /// Relay teams of so many; one works at a time.
    Relay(u32),
}

/// Items under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// The intervals, minutes, sets or rounds (from 1, inclusive) in which they are done; all where `None`.
    pub span: Option<(u32, u32)>,
    /// In order.
    pub lines: Vec<Line>,
}

/// A line of work or of rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Line {
    /// Work.
    Work(Item),
    /// Rest, seconds.
    Rest(u32),
}

/// One line of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// Movements with their amounts: one, or several for a complex.
    pub pieces: Vec<WrittenPiece>,
    /// Load, for all pieces.
    pub load: Option<WrittenLoad>,
    /// Effort aimed at on the 1-10 scale, in tenths.
    pub effort_tenths: Option<u32>,
    /// The coach's own milliseconds a repetition.
    pub rep_ms: Option<u32>,
    /// Movements the athlete may choose instead, as they like.
    pub choices: Vec<MovementIx>,
    /// The coach's own lines for this item: missing kit, limitation, ability.
    pub fallbacks: Vec<Fallback>,
    /// Free-text cues.
    pub cues: Vec<String>,
    /// Line in the file, from 1.
    pub line: u32,
}

/// A movement of an item with its amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WrittenPiece {
    /// How much; `None` where the scheme gives the repetitions (12-9-6, ladder) or the clock ends the work.
    pub amount: Option<Amount>,
    /// Which movement.
    pub movement: MovementIx,
}

/// How much.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Amount {
    /// Low end; equal to `high` but for a range. 0 in both: as many as they can.
    pub low: u32,
    /// High end.
    pub high: u32,
    /// Of what.
    pub measure: Measure,
    /// How it is shared between the sides.
    pub sides: Sides,
}

/// What an amount counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Repetitions.
    Repetitions,
    /// Seconds.
    Seconds,
    /// Metres.
    Metres,
    /// Kilocalories on the machine's display.
    Calories,
}

/// A load as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrittenLoad {
    /// Masses, one list of columns a set or interval: usually one. The last holds for the sets after it.
    Masses {
        /// Columns of each step, in hundredths of the unit.
        steps: Vec<Vec<u32>>,
        /// Unit.
        unit: Unit,
    },
    /// A share of a best, or a range that the athlete chooses in.
    Percent {
        /// Low end, thousandths.
        low_permille: u32,
        /// High end, thousandths.
        high_permille: u32,
        /// Of which movement's best.
        of: MovementIx,
        /// True where the load builds from the low to the high end over the sets.
        build: bool,
    },
    /// Masses that build from the first to the second over the sets, a column each.
    Build {
        /// First set, columns in hundredths of the unit.
        from: Vec<u32>,
        /// Last set.
        to: Vec<u32>,
        /// Unit.
        unit: Unit,
    },
    /// The athlete's own body only.
    Bodyweight,
    /// The bar without plates.
    EmptyBar,
}

/// The coach's own line: what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fallback {
    /// When it holds.
    pub when: When,
    /// What to do; `None` leaves the item out.
    pub instead: Option<Replacement>,
}

/// When a coach's line holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// A kind of kit is missing where the athlete trains.
    NoKit(KitIx),
    /// A region is limited at least so much.
    Limited(Region, Severity),
    /// The athlete's skill is below the movement's.
    Ability,
}

/// What is done instead. What is not said stays as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replacement {
    /// Another amount.
    pub amount: Option<Amount>,
    /// More (or fewer) repetitions.
    pub add_reps: i32,
    /// Which movement; `None` keeps it.
    pub movement: Option<MovementIx>,
    /// Another load.
    pub load: Option<WrittenLoad>,
}

impl Session {
    /// Every item with the number it has through the whole session, and its part.
    pub fn items(&self) -> impl Iterator<Item = (u32, usize, &Item)> {
        self.parts.iter().enumerate().flat_map(|(at, part)| {
            let first = self.first_item(at);
            part.items().enumerate().map(move |(n, item)| (first + n as u32, at, item))
        })
    }

    /// The number of a part's first item.
    pub fn first_item(&self, part: usize) -> u32 {
        self.parts[..part].iter().map(|part| part.items().count() as u32).sum()
    }
}

impl Part {
    /// Its items, in order.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.groups.iter().flat_map(|group| &group.lines).filter_map(|line| match line {
            Line::Work(item) => Some(item),
            Line::Rest(_) => None,
        })
    }
}

impl Measure {
    /// The id used in JSON, and the word in a sentence.
    pub const fn id(self) -> &'static str {
        match self {
            Measure::Repetitions => "repetitions",
            Measure::Seconds => "seconds",
            Measure::Metres => "metres",
            Measure::Calories => "calories",
        }
    }
}
