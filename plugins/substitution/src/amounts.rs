//! How much of the movement that stands in.
//!
//! A named pair adds its repetitions; else the written count stays where the pace is near, else it is the count of
//! equal work time, rounded down to a friendly number. Whatever the rule, neither the time worked nor the load moved
//! is above what was written, save that an addition to lighter work
//! may take longer in proportion to the load, up to twice the time, as the host allows.

use classwright_sdk::library::Fact;
use classwright_sdk::{Measure, Sides};

use crate::excerpt::Carrier;
use crate::loads::{Loads, Written};
use crate::settings::Settings;

/// What was written, as far as the amount depends on it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Before<'a> {
    pub(crate) fact: &'a Fact,
    pub(crate) measure: Measure,
    pub(crate) sides: Sides,
    pub(crate) low: u32,
    pub(crate) high: u32,
    /// The coach's own pace; 0 where the library's holds.
    pub(crate) rep_ms: u32,
    pub(crate) load: Written,
}

/// What stands in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct After<'a> {
    pub(crate) fact: &'a Fact,
    pub(crate) carrier: Carrier,
    pub(crate) loads: Loads,
}

/// How an amount was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// As many as were written.
    Kept,
    /// All of the named addition.
    Added,
    /// A part of it, so that the work stays within what was written.
    AddedInPart,
    /// Equal work time.
    EqualTime,
    /// Less than that, so that no more load is moved than was written.
    CutToLoad,
    /// Less than that, so that a quick movement is not done a great many times.
    CutToCount,
}

/// The new amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Amounts {
    pub(crate) measure: Measure,
    pub(crate) sides: Sides,
    pub(crate) low: u32,
    pub(crate) high: u32,
    pub(crate) found: Found,
}

/// The measure in which a movement can stand in for work in another, nearest first.
pub(crate) fn measure_for(written: Measure, fact: &Fact) -> Option<Measure> {
    use Measure::{Calories, Metres, Repetitions, Seconds};
    let order: &[Measure] = match written {
        Repetitions => &[Repetitions],
        Seconds => &[Seconds],
        Metres => &[Metres, Seconds, Repetitions, Calories],
        Calories => &[Calories, Seconds, Repetitions, Metres],
    };
    order.iter().copied().find(|&measure| match measure {
        // Repeated and travelling work can be done for a time as well, where a time was written.
        Seconds => written == Seconds || fact.timed == 1,
        _ => unit_ms(fact, measure) > 0,
    })
}

/// The new amount; `None` where not even one of it stays within what was written, or its time is not known.
pub(crate) fn stand_in(before: Before, after: After, extra: u32, settings: &Settings) -> Option<Amounts> {
    let measure = measure_for(before.measure, after.fact)?;
    let sides = sides_of(after.fact);
    let ratio = Ratio::new(&before, &after, measure, sides)?;
    let extra = if before.measure == Measure::Repetitions { extra } else { 0 };
    let (low, low_found) = one_amount(before.low, measure, &ratio, extra, settings)?;
    let (high, high_found) = one_amount(before.high, measure, &ratio, extra, settings)?;
    let found = if before.high == 0 { low_found } else { high_found };
    Some(Amounts { measure, sides, low, high: high.max(low), found })
}

/// The sides that are usual for a movement.
pub(crate) fn sides_of(fact: &Fact) -> Sides {
    match fact.sides {
        1 => Sides::Each,
        2 => Sides::Alternating,
        _ => Sides::Both,
    }
}

/// One unit of each, in milliseconds and in grams moved; twice where the amount is for each side.
struct Ratio {
    same_measure: bool,
    before_ms: u64,
    after_ms: u64,
    /// Grams before and after for one unit, on the first time and on the heaviest; none without load on both.
    grams: Vec<(u64, u64)>,
    /// How often a unit counts before and after.
    before_sides: u64,
    after_sides: u64,
    /// Grams of one implement before and after, where the load falls.
    lighter: Option<(u64, u64)>,
}

impl Ratio {
    fn new(before: &Before, after: &After, measure: Measure, sides: Sides) -> Option<Ratio> {
        let before_sides = times_a_count(before.sides);
        let after_sides = times_a_count(sides);
        let before_ms = u64::from(before.unit_ms()) * before_sides;
        let after_ms = u64::from(unit_ms(after.fact, measure)) * after_sides;
        if before_ms == 0 || after_ms == 0 {
            return None;
        }
        let moved = |grams: u32, carrier: Carrier| u64::from(grams) * carrier.implements();
        let old = before.load.loads;
        let grams = [(old.first, after.loads.first), (old.top, after.loads.top)]
            .into_iter()
            .map(|(from, to)| (moved(from, before.load.carrier) * before_sides, moved(to, after.carrier) * after_sides))
            .filter(|&(_, to)| to > 0)
            .collect();
        let lighter = after.loads.top > 0
            && after.loads.top < old.top
            && moved(after.loads.top, after.carrier) < moved(old.top, before.load.carrier);
        let lighter = lighter.then_some((u64::from(old.top), u64::from(after.loads.top)));
        let same_measure = before.measure == measure;
        Some(Ratio { same_measure, before_ms, after_ms, grams, before_sides, after_sides, lighter })
    }

    /// The most that takes no more than the written work time.
    fn within_time(&self, written: u32) -> u64 {
        u64::from(written) * self.before_ms / self.after_ms
    }

    /// The most that takes no more than lighter work may: longer in proportion to the load, twice as long at most.
    fn within_longer_time(&self, written: u32) -> u64 {
        let (from, to) = self.lighter.unwrap_or((1, 1));
        let written_ms = u64::from(written) * self.before_ms;
        (written_ms * from / to).min(written_ms * 2) / self.after_ms
    }

    /// So many times the written count, where only the sides differ.
    fn same_count(&self, written: u32, times: u32) -> u64 {
        u64::from(written) * u64::from(times) * self.before_sides / self.after_sides
    }

    /// The most that moves no more load than was written.
    fn within_load(&self, written: u32) -> u64 {
        let most = |&(before, after): &(u64, u64)| u64::from(written) * before / after;
        self.grams.iter().map(most).min().unwrap_or(u64::MAX)
    }

    /// True where the new movement is as quick as the written one or a little quicker.
    fn is_near(&self, keep_percent: u32) -> bool {
        self.same_measure
            && self.before_sides == self.after_sides
            && self.after_ms <= self.before_ms
            && self.before_ms * 100 <= self.after_ms * (100 + u64::from(keep_percent))
    }
}

fn one_amount(written: u32, measure: Measure, ratio: &Ratio, extra: u32, settings: &Settings) -> Option<(u32, Found)> {
    // As many as they can is still as many as they can.
    if written == 0 {
        return Some((0, Found::Kept));
    }
    let (amount, found) = match extra {
        0 => usual_amount(written, measure, ratio, settings),
        _ => added_amount(written, measure, ratio, extra),
    };
    u32::try_from(amount).ok().filter(|&amount| amount > 0).map(|amount| (amount, found))
}

fn added_amount(written: u32, measure: Measure, ratio: &Ratio, extra: u32) -> (u64, Found) {
    let same = ratio.same_count(written, 1);
    let all = same + u64::from(extra);
    let most = ratio.within_longer_time(written).min(ratio.within_load(written));
    if all <= most {
        return (all, Found::Added);
    }
    let found = if most > same { Found::AddedInPart } else { Found::EqualTime };
    (friendly(most, measure).max(most.min(same)), found)
}

fn usual_amount(written: u32, measure: Measure, ratio: &Ratio, settings: &Settings) -> (u64, Found) {
    let by_load = ratio.within_load(written);
    if ratio.is_near(settings.keep_count_within_percent) && u64::from(written) <= by_load {
        return (u64::from(written), Found::Kept);
    }
    let by_time = ratio.within_time(written);
    let is_count = ratio.same_measure && measure == Measure::Repetitions;
    let by_count = if is_count { ratio.same_count(written, settings.count_at_most_times) } else { u64::MAX };
    let most = by_time.min(by_load).min(by_count);
    let found = match most {
        _ if most == by_time => Found::EqualTime,
        _ if most == by_load => Found::CutToLoad,
        _ => Found::CutToCount,
    };
    (friendly(most, measure), found)
}

/// Rounded down to a number that a coach would say.
fn friendly(amount: u64, measure: Measure) -> u64 {
    let step = match measure {
        Measure::Repetitions | Measure::Calories if amount < 10 => 1,
        Measure::Repetitions | Measure::Calories if amount <= 20 => 2,
        Measure::Repetitions | Measure::Calories => 5,
        Measure::Seconds if amount < 5 => 1,
        Measure::Seconds => 5,
        Measure::Metres if amount < 10 => 1,
        Measure::Metres if amount <= 200 => 10,
        Measure::Metres => 50,
    };
    amount / step * step
}

impl Before<'_> {
    /// The coach's own pace wins for the movement it was written for.
    fn unit_ms(&self) -> u32 {
        match self.measure {
            Measure::Repetitions if self.rep_ms > 0 => self.rep_ms,
            measure => unit_ms(self.fact, measure),
        }
    }
}

fn unit_ms(fact: &Fact, measure: Measure) -> u32 {
    match measure {
        Measure::Repetitions => fact.rep_ms,
        Measure::Seconds => 1000,
        Measure::Metres => fact.metre_ms,
        Measure::Calories => fact.calorie_ms,
    }
}

/// An amount for each side is done twice; one shared between the sides counts in all.
fn times_a_count(sides: Sides) -> u64 {
    match sides {
        Sides::Each => 2,
        Sides::Both | Sides::Alternating => 1,
    }
}
