//! Step 2: each athlete's card as written. Columns are chosen, percents become kilograms, clocks become times.

use classwright_training::session::{Item, Line, Scheme, WrittenLoad};
use classwright_training::{
    Amount, Athlete, AthleteIx, Card, Load, LoadKind, Mass, Measure, Movement, MovementIx, Part, Piece, Sides, Unit,
    formulas::percent::Edition,
};

use crate::Class;

/// The card of one athlete, as the coach wrote it.
pub(crate) fn card(class: &Class<'_>, ix: AthleteIx) -> Card {
    let mut pieces = Vec::new();
    for (number, part, item) in class.session.items() {
        let part_ix = part as u32;
        let part = &class.session.parts[part];
        let times = times(part, number - class.session.first_item(part_ix as usize), item);
        for (step, written) in item.pieces.iter().enumerate() {
            let movement = class.library.movement(written.movement);
            let amount = written.amount.unwrap_or_else(|| scheme_amount(&part.scheme, movement));
            let effort = item.effort_tenths.unwrap_or(0);
            pieces.push(Piece {
                part: part_ix,
                item: number,
                step: step as u32,
                movement: written.movement,
                times,
                amount,
                load: load(class, ix, item.load.as_ref(), written.movement, times, effort, amount),
                best_permille: permille(item.load.as_ref()),
                effort_tenths: effort,
                range_percent: 100,
                rep_ms: item.rep_ms,
                off: false,
            });
        }
    }
    Card { athlete: ix, pieces }
}

/// A written load for one athlete and movement.
pub(crate) fn load(
    class: &Class<'_>,
    ix: AthleteIx,
    written: Option<&WrittenLoad>,
    movement: MovementIx,
    times: u32,
    effort_tenths: u32,
    amount: Amount,
) -> Load {
    let athlete = class.athlete(ix);
    let many = times.max(1);
    match written {
        Some(WrittenLoad::Masses { steps, unit }) => {
            known(steps.iter().map(|columns| column(columns, *unit, athlete)).collect(), None)
        }
        Some(WrittenLoad::Build { from, to, unit }) => {
            known(between(column(from, *unit, athlete), column(to, *unit, athlete), many), None)
        }
        Some(WrittenLoad::Percent { low_permille, high_permille, of, build }) => {
            let Some(best) = athlete.best(*of) else {
                let name = &class.library.movement(*of).name;
                let share = share(*low_permille, *high_permille);
                return Load::Ask(format!("no best for {name} is known, so {share} of it cannot be worked out: ask"));
            };
            let of_best = best.load.permille(athlete.training_share_permille);
            let (low, high) = (of_best.permille(*low_permille), of_best.permille(*high_permille));
            match (build, low == high) {
                (true, _) => known(between(low, high, many), None),
                (false, true) => known(vec![low], None),
                (false, false) => known(vec![low], Some(high)),
            }
        }
        Some(WrittenLoad::Bodyweight) => Load::None,
        Some(WrittenLoad::EmptyBar) => match bar_of(class, ix) {
            Some(bar) => known(vec![bar], None),
            None => Load::Ask("an empty bar is written and there is no bar here: ask".into()),
        },
        None => unwritten(class, ix, movement, effort_tenths, amount),
    }
}

/// Where no load is written: by effort and best if both are known, else the athlete chooses.
fn unwritten(class: &Class<'_>, ix: AthleteIx, movement: MovementIx, effort_tenths: u32, amount: Amount) -> Load {
    let wanted = class.library.movement(movement);
    if !matches!(wanted.load_kind, LoadKind::Bar | LoadKind::Pair | LoadKind::Single) {
        return Load::None;
    }
    let athlete = class.athlete(ix);
    if effort_tenths > 0 && amount.measure == Measure::Repetitions && amount.high > 0 {
        // Repetitions in the set and repetitions left give the percent: see there for the edition of the table.
        let left = (100u32.saturating_sub(effort_tenths)).div_ceil(10);
        let share = Edition::default().percent(amount.high + left);
        if let (Some(best), Ok(share)) = (athlete.best(movement), share) {
            let share = (share * 10.0).round() as u32;
            return known(vec![best.load.permille(athlete.training_share_permille).permille(share)], None);
        }
    }
    let effort = match effort_tenths {
        0 => "that leaves every repetition clean".to_owned(),
        tenths => format!("for effort {}", f64::from(tenths) / 10.0),
    };
    Load::Ask(format!("no load is written: choose one {effort}"))
}

/// How many times an item is done in its part; 0 where the clock decides.
fn times(part: &Part, place: u32, item: &Item) -> u32 {
    let group = part
        .groups
        .iter()
        .find(|group| group.lines.iter().any(|line| matches!(line, Line::Work(work) if std::ptr::eq(work, item))));
    let span = group.and_then(|group| group.span);
    let within = |all: u32| span.map_or(all, |(first, last)| last.min(all).saturating_sub(first) + 1);
    match &part.scheme {
        Scheme::Rounds { rounds, .. } | Scheme::ForTime { rounds, .. } => within(*rounds),
        Scheme::Sets { sets, .. } | Scheme::IntervalSets { sets, .. } => within(*sets),
        Scheme::WorkRest { intervals, .. } => within(*intervals),
        Scheme::RepsForTime { reps, .. } => within(reps.len() as u32),
        Scheme::AsManyRounds { .. } | Scheme::Ladder { .. } => 0,
        Scheme::EveryMinute { total_s } => {
            let minutes = total_s / 60;
            match span {
                // Headings name minutes of a cycle that repeats until time is up.
                Some((first, last)) => {
                    let cycle = part.groups.iter().filter_map(|g| g.span).map(|(_, last)| last).max().unwrap_or(1);
                    (first..=last).map(|m| (minutes + cycle - m) / cycle).sum()
                }
                None => {
                    let cycle = part.items().count() as u32;
                    (minutes + cycle - 1 - place) / cycle
                }
            }
        }
    }
}

/// The amount of a piece whose scheme gives it: the range of repetitions that the scheme goes through, or "as many
/// as they can" where the clock ends the work.
fn scheme_amount(scheme: &Scheme, movement: &Movement) -> Amount {
    let (low, high) = match scheme {
        Scheme::RepsForTime { reps, .. } => {
            (reps.iter().copied().min().unwrap_or(0), reps.iter().copied().max().unwrap_or(0))
        }
        Scheme::Ladder { from, .. } => (*from, *from),
        _ => (0, 0),
    };
    let measure = if movement.rep.is_some() || high > 0 {
        Measure::Repetitions
    } else if movement.metre.is_some() {
        Measure::Metres
    } else if movement.calorie.is_some() {
        Measure::Calories
    } else {
        Measure::Seconds
    };
    let sides = if movement.sides == Sides::Alternating { Sides::Alternating } else { Sides::Both };
    Amount { low, high, measure, sides }
}

/// Loads in equal steps from the first time to the last.
fn between(first: Mass, last: Mass, times: u32) -> Vec<Mass> {
    let (first, last) = (i64::from(first.grams()), i64::from(last.grams()));
    let steps = i64::from(times.max(2)) - 1;
    (0..=steps).map(|n| Mass::from_grams((first + (last - first) * n / steps) as u32)).collect()
}

fn known(each_time: Vec<Mass>, up_to: Option<Mass>) -> Load {
    Load::Known { each_time, up_to }
}

fn column(columns: &[u32], unit: Unit, athlete: &Athlete) -> Mass {
    let at = usize::from(athlete.column).min(columns.len() - 1);
    unit.to_mass(columns[at])
}

fn permille(load: Option<&WrittenLoad>) -> u32 {
    match load {
        Some(WrittenLoad::Percent { high_permille, .. }) => *high_permille,
        _ => 0,
    }
}

fn share(low: u32, high: u32) -> String {
    let percent = |permille: u32| f64::from(permille) / 10.0;
    if low == high { format!("{} %", percent(low)) } else { format!("{}-{} %", percent(low), percent(high)) }
}

/// Mass of the bar that an athlete uses.
fn bar_of(class: &Class<'_>, ix: AthleteIx) -> Option<Mass> {
    let kit = class.kit_of(ix);
    let wanted = class.athlete(ix).bar_type.as_deref();
    let own = kit.bar_types.iter().find(|bar| Some(bar.id.as_str()) == wanted);
    own.or(kit.bar_types.first()).map(|bar| bar.mass)
}
