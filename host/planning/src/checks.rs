//! What the host checks of every change that a policy makes to a card.
//!
//! A change is held against the piece as it stood before the policy was asked. As each step may only lower what it
//! finds, no card ends above what was written, and no later step brings back what an earlier one took away.

use classwright_policies::{Kind, NewPiece};
use classwright_training::session::Allow;
use classwright_training::time::{Speed, amount_ms};
use classwright_training::{Amount, AthleteIx, Load, Mass, Measure, Movement, MovementIx, Piece, Region, Sides};

use crate::Class;

/// A rule that an answer broke.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// Which.
    pub rule: Rule,
    /// What, where: one clause.
    pub detail: String,
}

/// The rules for cards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// A load above what stood on the card, or where none stood.
    LoadRaised,
    /// More work than stood on the card.
    VolumeRaised,
    /// More demand on a region than stood on the card.
    DemandRaised,
    /// A substitution that loads a limited region more than scaling left.
    DemandBroughtBack,
    /// A movement that needs kit which is not there.
    KitNotThere,
    /// A movement measured as it cannot be.
    MeasureUnknown,
    /// A number out of range.
    OutOfRange,
}

impl Rule {
    /// All rules.
    pub const ALL: [Rule; 7] = [
        Rule::LoadRaised,
        Rule::VolumeRaised,
        Rule::DemandRaised,
        Rule::DemandBroughtBack,
        Rule::KitNotThere,
        Rule::MeasureUnknown,
        Rule::OutOfRange,
    ];

    /// The id shown with a fault.
    pub const fn id(self) -> &'static str {
        match self {
            Rule::LoadRaised => "load-raised",
            Rule::VolumeRaised => "volume-raised",
            Rule::DemandRaised => "demand-raised",
            Rule::DemandBroughtBack => "demand-brought-back",
            Rule::KitNotThere => "kit-not-there",
            Rule::MeasureUnknown => "measure-unknown",
            Rule::OutOfRange => "out-of-range",
        }
    }
}

/// The first rule that a change breaks, if any.
pub fn broken(class: &Class<'_>, kind: Kind, athlete: AthleteIx, from: &Piece, to: &NewPiece) -> Option<Broken> {
    let allow = class.session.allow;
    out_of_range(from, to)
        .or_else(|| misplaced_load(class, from, to))
        .or_else(|| measure(class, to))
        .or_else(|| demand(class, kind, athlete, from, to.movement))
        .or_else(|| load(class, athlete, from, to))
        .or_else(|| volume(class, allow, from, to))
        .or_else(|| kit(class, athlete, from, to.movement))
}

fn out_of_range(from: &Piece, to: &NewPiece) -> Option<Broken> {
    let Amount { low, high, .. } = to.amount;
    let wrong = if low > high {
        format!("the amount runs from {low} down to {high}")
    } else if high == 0 && from.amount.high > 0 {
        "an amount of nothing: take the piece off instead".to_owned()
    } else if !(1..=100).contains(&to.range_percent) || to.range_percent > from.range_percent {
        format!("a range of movement of {} %, from {} %", to.range_percent, from.range_percent)
    } else if to.effort_tenths > 100 {
        format!("an effort of {} tenths", to.effort_tenths)
    } else if to.first > to.top {
        format!("a first load of {} above the heaviest, {}", to.first, to.top)
    } else if (to.times == 0) != (from.times == 0) {
        format!("{} times, from {}", to.times, from.times)
    } else {
        return None;
    };
    Some(Broken { rule: Rule::OutOfRange, detail: wrong })
}

fn measure(class: &Class<'_>, to: &NewPiece) -> Option<Broken> {
    let movement = class.library.movement(to.movement);
    if measurable(movement, to.amount.measure) {
        return None;
    }
    let detail = format!("{} is not measured in {}", movement.name, to.amount.measure.id());
    Some(Broken { rule: Rule::MeasureUnknown, detail })
}

fn demand(class: &Class<'_>, kind: Kind, ix: AthleteIx, from: &Piece, to: MovementIx) -> Option<Broken> {
    let (before, after) = (class.library.movement(from.movement), class.library.movement(to));
    let athlete = class.athlete(ix);
    let raised = |region: &Region| after.demand_on(*region) > before.demand_on(*region);
    let describe = |region: Region| {
        let (was, is) = (before.demand_on(region), after.demand_on(region));
        format!("{} instead of {}: demand on the {} from {was} to {is}", after.name, before.name, region.id())
    };
    let limited = Region::ALL.into_iter().filter(raised).find(|region| athlete.limitation(*region).is_some());
    if let Some(region) = limited {
        let rule = if kind == Kind::Substitution { Rule::DemandBroughtBack } else { Rule::DemandRaised };
        return Some(Broken { rule, detail: describe(region) });
    }
    if class.session.allow.demand {
        return None;
    }
    let region = Region::ALL.into_iter().find(raised)?;
    Some(Broken { rule: Rule::DemandRaised, detail: describe(region) })
}

fn load(class: &Class<'_>, ix: AthleteIx, from: &Piece, to: &NewPiece) -> Option<Broken> {
    let (was, is) = (class.library.movement(from.movement), class.library.movement(to.movement));
    // What the coach allows the class is not meant for a region that somebody reports as sore.
    let spared = class.athlete(ix).limitations.iter().any(|limit| is.demand_on(limit.region) > 0);
    if class.session.allow.load && !spared && !matches!(from.load, Load::None) {
        return None;
    }
    if from.effort_tenths > 0 && to.effort_tenths > from.effort_tenths {
        let detail = format!("an effort of {} tenths, from {}", to.effort_tenths, from.effort_tenths);
        return Some(Broken { rule: Rule::LoadRaised, detail });
    }
    let top = from.load.top().unwrap_or(Mass::ZERO);
    let first = from.load.first().unwrap_or(Mass::ZERO);
    // Two implements are twice the load of one.
    let in_hand =
        |load: Mass, movement: &Movement| u64::from(load.grams()) * u64::from(movement.load_kind.implements().max(1));
    let no_more = |to: Mass, from: Mass| to <= from && in_hand(to, is) <= in_hand(from, was);
    if no_more(to.top, top) && no_more(to.first, first) {
        return None;
    }
    let each = if is.load_kind.implements() > 1 { " each" } else { "" };
    let detail = format!("{} to {}{each}, from {first} to {top}", to.first, to.top);
    Some(Broken { rule: Rule::LoadRaised, detail })
}

/// A load on another movement, which carries none.
fn misplaced_load(class: &Class<'_>, from: &Piece, to: &NewPiece) -> Option<Broken> {
    let movement = class.library.movement(to.movement);
    if from.movement == to.movement || movement.load_kind.implements() > 0 || to.top.is_zero() {
        return None;
    }
    let detail = format!("{} of {}, which carries no load", to.top, movement.name);
    Some(Broken { rule: Rule::OutOfRange, detail })
}

fn volume(class: &Class<'_>, allow: Allow, from: &Piece, to: &NewPiece) -> Option<Broken> {
    if allow.volume {
        return None;
    }
    let raised = |detail: String| Some(Broken { rule: Rule::VolumeRaised, detail });
    if to.times > from.times {
        return raised(format!("{} times, from {}", to.times, from.times));
    }
    if from.amount.high == 0 {
        let counted = to.amount.high > 0;
        return if counted { raised("a number of them where the clock decides".into()) } else { None };
    }
    let (was, is) = (class.library.movement(from.movement), class.library.movement(to.movement));
    if from.movement == to.movement && from.amount.measure == to.amount.measure {
        // The same in fewer, longer sets is more, unless the load comes down for it.
        let kept = to.top >= from.load.top().unwrap_or(Mass::ZERO);
        if kept && in_all(1, to.amount) > in_all(1, from.amount) {
            return raised(format!("{} at once, from {}", in_all(1, to.amount), in_all(1, from.amount)));
        }
        if to.amount.low > from.amount.low {
            return raised(format!("at least {}, from {}", to.amount.low, from.amount.low));
        }
        let (before, after) = (in_all(from.times, from.amount), in_all(to.times, to.amount));
        return if after > before { raised(format!("{after} in all, from {before}")) } else { None };
    }
    let from_top = from.load.top().unwrap_or(Mass::ZERO);
    if !from_top.is_zero() && !to.top.is_zero() && from.amount.measure == to.amount.measure {
        let moved = |times, amount, load: Mass, movement: &Movement| {
            in_all(times, amount) * u64::from(load.grams()) * u64::from(movement.load_kind.implements().max(1))
        };
        let (before, after) = (moved(from.times, from.amount, from_top, was), moved(to.times, to.amount, to.top, is));
        if after > before {
            return raised(format!("{} kg moved in all, from {} kg", after / 1000, before / 1000));
        }
    }
    // The coach's own pace holds for the movement it was written for.
    let seconds = |times: u32, amount, movement, rep_ms| {
        amount_ms(amount, movement, rep_ms, Speed::Typical).map(|ms| ms * u64::from(times.max(1)))
    };
    let Some(before) = seconds(from.times, from.amount, was, from.rep_ms) else {
        // What stands there cannot be done so: only as much of the same can be said not to be more.
        let no_more =
            from.amount.measure == to.amount.measure && in_all(to.times, to.amount) <= in_all(from.times, from.amount);
        return if no_more { None } else { raised("it cannot be held against what stands there".into()) };
    };
    let after = seconds(to.times, to.amount, is, None)?;
    // A lighter load may be moved for longer in proportion, twice as long at most; other work may not last longer than
    // what it stands for.
    let lighter = !from_top.is_zero() && to.top < from_top && !to.top.is_zero();
    let most = match lighter {
        true => (before * u64::from(from_top.grams()) / u64::from(to.top.grams())).min(before * 2),
        false => before,
    };
    if after > most {
        return raised(format!("{} s of work, from {} s", after / 1000, before / 1000));
    }
    None
}

fn kit(class: &Class<'_>, athlete: AthleteIx, from: &Piece, to: MovementIx) -> Option<Broken> {
    let before = class.lacking(athlete, from.movement);
    let missing = class.lacking(athlete, to).into_iter().find(|kit| !before.contains(kit))?;
    let name = &class.library.movement(to).name;
    Some(Broken { rule: Rule::KitNotThere, detail: format!("{name} needs a {missing}, and none is there") })
}

/// True where a movement can be measured so.
pub fn measurable(movement: &Movement, measure: Measure) -> bool {
    match measure {
        Measure::Repetitions => movement.rep.is_some(),
        // Repeated and cyclic work can be done for a time as well.
        Measure::Seconds => true,
        Measure::Metres => movement.metre.is_some(),
        Measure::Calories => movement.calorie.is_some(),
    }
}

fn in_all(times: u32, amount: Amount) -> u64 {
    let sides = if amount.sides == Sides::Each { 2 } else { 1 };
    u64::from(times.max(1)) * u64::from(amount.high) * sides
}
