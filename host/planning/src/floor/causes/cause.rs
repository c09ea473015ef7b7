//! One reason why a floor has no plan, as a sentence.
//!
//! Athletes, bouts and stages are named by position, as the floor counts them from 0, each in the words `athlete 3`,
//! `bout 9`, `stage 2`; whoever shows the sentence to a coach puts names there.

use classwright_training::time::clock;
use thiserror::Error;

/// One reason why the floor has no plan.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Cause {
    /// One bout claims more of some kit than there ever is.
    #[error("athlete {athlete}, bout {bout}: needs {}, and {}", so_many(*claimed, kit), there_are(*there))]
    Kit {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// What.
        kit: String,
        /// How many it claims.
        claimed: u32,
        /// How many there are for this class.
        there: u32,
    },
    /// One loading needs more pairs of a plate than there ever are.
    #[error("athlete {athlete}, bout {bout}: its bar needs {} of {plate} plates, and {}", pairs(*needed), there_are(*there))]
    Plates {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The mass of one plate.
        plate: String,
        /// Pairs on the bar.
        needed: u32,
        /// Pairs there are for this class.
        there: u32,
    },
    /// No bar of the type that a bout needs.
    #[error("athlete {athlete}, bout {bout}: needs a {bar_type}, and there is none")]
    Bar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The type's name.
        bar_type: String,
    },
    /// One bout takes more of the coach's eye than the coach has.
    #[error("athlete {athlete}, bout {bout}: takes {watch} of the coach's span of {span}")]
    Watch {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its weight.
        watch: u32,
        /// The coach's span.
        span: u32,
    },
    /// The written rest admits no start on the step.
    #[error("athlete {athlete}, bout {bout}: the rest after it leads to no start on a multiple of {step} s")]
    Step {
        /// The athlete.
        athlete: u32,
        /// The bout before the rest.
        bout: u32,
        /// The step.
        step: u32,
    },
    /// The rests leave no time to change plates, even from one bar to the other.
    #[error(
        "athlete {athlete}, bout {bout}: the rests before it leave no time to change plates, with {bars} {bar_type}"
    )]
    Setup {
        /// The athlete.
        athlete: u32,
        /// The last of the bouts that one bar would have to serve two of.
        bout: u32,
        /// The type's name.
        bar_type: String,
        /// How many there are.
        bars: u32,
    },
    /// People who work together, one with the next, and the first and the last are kept apart.
    #[error("{}", contradiction(athletes))]
    Contradiction {
        /// In order; those between them work together with both.
        athletes: Vec<u32>,
    },
    /// Those who work together need more at one time than there is.
    #[error("{} start together and need {} at stage {stage}, and {}", people(athletes), amount(u64::from(*needed), what), there_are(*there))]
    Partners {
        /// The fewest of them that are too many.
        athletes: Vec<u32>,
        /// The stage.
        stage: u32,
        /// What.
        what: String,
        /// How many they need at once.
        needed: u32,
        /// How many there are for this class.
        there: u32,
    },
    /// The rests of those who work together leave no common starts.
    #[error("{} cannot start together: their rests do not agree{}", people(athletes), on_step(*step))]
    Rests {
        /// The fewest of them that do not agree.
        athletes: Vec<u32>,
        /// The step of the clock, where they would agree off it.
        step: Option<u32>,
    },
    /// The plain plan finds no place for an athlete and partners, even alone on the floor.
    #[error("no place was found for athlete {athlete}, even with the floor to themselves")]
    NoPlace {
        /// The first of them.
        athlete: u32,
    },
    /// Alone on the floor they have a place, and the plain plan finds none beside the others.
    #[error("no turn was found for athlete {athlete} beside the others, in any of the orders that were tried")]
    NoTurn {
        /// The first of them.
        athlete: u32,
    },
    /// Those who have begun need more at one second than there is, whatever heats they go on in.
    #[error(
        "{} have begun and, as their rests are written, need {} at {}, and {}",
        people(athletes), amount(*needed, what), clock(*second), there_are(u32::try_from(*there).unwrap_or(u32::MAX))
    )]
    AtOnce {
        /// The fewest of them who are too many.
        athletes: Vec<u32>,
        /// The first such second.
        second: u32,
        /// What.
        what: String,
        /// How many they need at once.
        needed: u64,
        /// How many there are for this class then.
        there: u64,
    },
    /// Somebody has begun and cannot go on as soon as the written rest has them.
    #[error(
        "athlete {athlete}, bout {bout}: has to start by {}, as the rests are written, and cannot before {}",
        clock(*latest), clock(*earliest)
    )]
    TooLate {
        /// The athlete.
        athlete: u32,
        /// The bout to come.
        bout: u32,
        /// The latest start that the rests before it allow.
        latest: u32,
        /// The earliest there can be.
        earliest: u32,
    },
    /// The plain plan finds no way to go on from what has happened.
    #[error("athlete {athlete} has begun, and no way was found to go on from there")]
    Begun {
        /// The first of those in the heat.
        athlete: u32,
    },
    /// No heat is allowed.
    #[error("no heat is allowed")]
    NoHeat,
    /// So many need something at one stage, and a heat has so few of it, that more heats are needed than allowed.
    #[error("{people} people need {} at stage {stage}, and {} at once: {heats} heats at least, {most} allowed", amount(u64::from(*needed), what), there_are(*there))]
    Heats {
        /// What.
        what: String,
        /// The stage.
        stage: u32,
        /// How many need it.
        people: u32,
        /// How many they need in all.
        needed: u32,
        /// How many there are for this class.
        there: u32,
        /// Heats that are needed at least.
        heats: u32,
        /// Most heats.
        most: u32,
    },
    /// More people are kept apart from each other than there are heats.
    #[error("{} are all kept apart, and {} allowed", people(athletes), if *most == 1 { "1 heat is".to_owned() } else { format!("{most} heats are") })]
    Apart {
        /// One more than there are heats.
        athletes: Vec<u32>,
        /// Most heats.
        most: u32,
    },
    /// A rest that is longer than the class.
    #[error("athlete {athlete}, bout {bout}: the rest of {} after it is longer than the class of {}{}", clock(*rest), clock(*window), others(*more))]
    LongRest {
        /// The athlete.
        athlete: u32,
        /// The bout before the rest.
        bout: u32,
        /// The rest.
        rest: u32,
        /// The class.
        window: u32,
        /// How many more have such a rest.
        more: u32,
    },
    /// Somebody is not done within the class, even with the floor to themselves.
    #[error("athlete {athlete} is done at {} at the earliest, after the {} of the class{}{}", clock(*seconds), clock(*window), because(with), others(*more))]
    Window {
        /// The athlete.
        athlete: u32,
        /// Their earliest end.
        seconds: u32,
        /// The class.
        window: u32,
        /// What it takes beside their own work and rests, in words; empty where those alone are too long.
        with: Vec<String>,
        /// How many more have the same trouble.
        more: u32,
    },
}

/// `a rack`, `rings`, `2 of rack`.
fn so_many(count: u32, kit: &str) -> String {
    let plural = kit.split(' ').next().is_some_and(|word| word.ends_with('s') && !word.ends_with("ss"));
    match count {
        1 if plural => kit.to_owned(),
        1 if kit.starts_with(['a', 'e', 'i', 'o', 'u', '8']) => format!("an {kit}"),
        1 => format!("a {kit}"),
        many => format!("{many} of {kit}"),
    }
}

/// `2 of rack`, `4 pairs of 20 kg plates`.
fn amount(count: u64, what: &str) -> String {
    match what.strip_prefix("the ").filter(|what| what.starts_with("pairs of ")) {
        Some(pairs) => format!("{count} {pairs}"),
        None => format!("{count} of {what}"),
    }
}

fn pairs(count: u32) -> String {
    if count == 1 { "a pair".to_owned() } else { format!("{count} pairs") }
}

fn there_are(count: u32) -> String {
    match count {
        0 => "there is none".to_owned(),
        1 => "there is 1".to_owned(),
        many => format!("there are {many}"),
    }
}

fn people(athletes: &[u32]) -> String {
    let names: Vec<String> = athletes.iter().map(|athlete| format!("athlete {athlete}")).collect();
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => "nobody".to_owned(),
    }
}

fn contradiction(athletes: &[u32]) -> String {
    match athletes {
        [one] => format!("athlete {one} is kept apart from themselves"),
        [first, between @ .., last] if !between.is_empty() => {
            format!("{} have to be together through {} and are kept apart", people(&[*first, *last]), people(between))
        }
        both => format!("{} have to be together and apart", people(both)),
    }
}

fn on_step(step: Option<u32>) -> String {
    step.map_or_else(String::new, |step| format!(" on multiples of {step} s"))
}

fn because(with: &[String]) -> String {
    if with.is_empty() { String::new() } else { format!(", with {}", with.join(" and ")) }
}

fn others(more: u32) -> String {
    match more {
        0 => String::new(),
        1 => ", and one more".to_owned(),
        more => format!(", and {more} more"),
    }
}
