//! What is done with a class: one decision a piece, for all rules together.
//!
//! In order: a movement that asks too much of a limited region is swapped or comes off; one beyond the athlete's skill
//! gets an easier one, or less of it; what just passes for a sore region is cut; and after a break volume is cut by
//! the week. Of several cuts the strongest holds, they do not multiply. The reason names the strongest rule and says
//! each in a sentence. The movements of a complex share one load, so the lightest decision holds for all of them.

use classwright_sdk::{
    Answer, AthleteView, BodySide, Catalogue, Changes, Class, Known, Library, Limitation, Measure, PieceView, Severity,
};

use crate::settings::Settings;
use crate::swap::{Bounds, Candidate, StandIns};
use crate::volume::{Sets, cut, friendly};

/// Said wherever work comes off for a limitation.
const ASK: &str = "Ask the coach; stop on pain; see a licensed clinician.";

/// What is to become of a piece.
#[derive(Default)]
struct Decision {
    off: bool,
    swap: Option<Candidate>,
    load_percent: u32,
    volume_percent: u32,
    range_percent: u32,
    /// Rules that apply with what they say, strongest first.
    because: Vec<(&'static str, String)>,
}

/// Answers for one class.
pub fn scale(class: &Class<'_>, library: &dyn Library, settings: &Settings) -> Answer {
    let catalogue = Catalogue::read(library, class.question());
    let stand_ins = StandIns::of_class(&class.question().pieces);
    let mut changes = Changes::new();
    for athlete in class.athletes() {
        let limited = limited(&athlete, catalogue.tables().regions.len());
        let pieces: Vec<PieceView<'_>> = athlete.pieces().collect();
        for item in pieces.chunk_by(|a, b| a.item == b.item) {
            let bounds = Bounds {
                catalogue: &catalogue,
                stand_ins: &stand_ins,
                settings,
                kit: athlete.kit(),
                limited: &limited,
                skill: athlete.skill,
                same_load_kind: item.len() > 1,
            };
            let mut decisions: Vec<Decision> = item.iter().map(|piece| decide(&bounds, &athlete, *piece)).collect();
            share_the_bar(&mut decisions);
            for (piece, decision) in item.iter().zip(decisions) {
                make(&mut changes, *piece, &decision, item.len() > 1);
            }
        }
    }
    changes.into_answer()
}

fn decide(bounds: &Bounds<'_>, athlete: &AthleteView<'_, '_>, piece: PieceView<'_>) -> Decision {
    let mut decision = Decision { load_percent: 100, volume_percent: 100, range_percent: 100, ..Decision::default() };
    let Some(written) = bounds.catalogue.get(piece.movement) else {
        return decision;
    };
    let sparing = bounds.spares(written.demand);
    let beyond_skill = athlete.skill > 0 && written.fact.skill > athlete.skill;
    let mut movement = written;
    if !sparing {
        let worst = worst(bounds, athlete, written.demand);
        match bounds.nearest(&piece, written) {
            Some(swap) => {
                (decision.swap, decision.load_percent) = (Some(swap), swap.load_percent);
                decision.because.push(("spare-the-region", format!("{worst}: a movement that asks less of it.")));
            }
            None => {
                decision.off = true;
                let text = format!("{worst}: nothing here stands in for this movement. {ASK}");
                decision.because.push(("off-for-the-region", text));
                return decision;
            }
        }
    } else if beyond_skill {
        match bounds.within_skill(&piece, written) {
            Some(swap) => {
                (decision.swap, decision.load_percent) = (Some(swap), swap.load_percent);
                decision.because.push(("within-skill", "An easier movement that leads to the written one.".into()));
            }
            None => {
                decision.volume_percent = bounds.settings.beyond_skill_volume_percent;
                let text = "Less of a movement that is still being learned; ask the coach to watch.".to_owned();
                decision.because.push(("less-while-learning", text));
            }
        }
    }
    if let Some(known) = decision.swap.and_then(|swap| bounds.catalogue.get(swap.movement)) {
        movement = known;
    }
    ease(&mut decision, bounds, athlete, piece.measure, movement);
    after_a_break(&mut decision, bounds.settings, athlete.return_week, piece.part_kind());
    decision
}

/// Cuts what just passes for a region that is limited more than a little.
fn ease(
    decision: &mut Decision,
    bounds: &Bounds<'_>,
    athlete: &AthleteView<'_, '_>,
    measure: Measure,
    movement: Known<'_>,
) {
    let at_the_limit = |limitation: &&Limitation| {
        let demand = movement.demand.get(limitation.region as usize).map_or(0, |demand| u32::from(*demand));
        let highest = bounds.settings.restriction(limitation.severity).highest_demand;
        limitation.severity != Severity::Mild && demand > 0 && demand == highest
    };
    let Some(limitation) =
        athlete.limitations().filter(at_the_limit).max_by_key(|limitation| limitation.severity as u8)
    else {
        return;
    };
    let allowed = bounds.settings.restriction(limitation.severity);
    let range = if measure == Measure::Repetitions { allowed.range_percent } else { 100 };
    if allowed.load_percent == 100 && allowed.volume_percent == 100 && range == 100 {
        return;
    }
    decision.load_percent = decision.load_percent * allowed.load_percent / 100;
    decision.volume_percent = decision.volume_percent.min(allowed.volume_percent);
    decision.range_percent = decision.range_percent.min(range);
    let name = named(bounds.catalogue, limitation);
    decision.because.push(("ease-the-region", format!("{name}: this still works it, so less of it. Stop on pain.")));
}

fn after_a_break(decision: &mut Decision, settings: &Settings, week: u32, part: &str) {
    let cuts = match part {
        "conditioning" => &settings.return_conditioning_cut_percent,
        "strength" | "skill" => &settings.return_lifting_cut_percent,
        _ => return,
    };
    let cut = week.checked_sub(1).and_then(|past| cuts.get(past as usize)).copied().unwrap_or(0);
    if cut > 0 {
        decision.volume_percent = decision.volume_percent.min(100 - cut);
        let text = format!("Week {week} after a break: at least {cut} % less volume.");
        decision.because.push(("after-a-break", text));
    }
}

/// What is done without letting go of the bar is done with one load and equally often.
fn share_the_bar(decisions: &mut [Decision]) {
    let on_the_card = || decisions.iter().filter(|decision| !decision.off);
    // What carries no load has none to share.
    let loaded = on_the_card().map(|decision| decision.load_percent).filter(|percent| *percent > 0);
    let load = loaded.min().unwrap_or(0);
    let Some(volume) = on_the_card().map(|decision| decision.volume_percent).min() else {
        return;
    };
    for decision in decisions.iter_mut().filter(|decision| !decision.off) {
        let lowered = decision.load_percent > load || decision.volume_percent > volume;
        if decision.because.is_empty() && lowered {
            decision.because.push(("one-bar", "Less, as another movement of this complex asks for it.".into()));
        }
        decision.load_percent = decision.load_percent.min(load);
        decision.volume_percent = volume;
    }
}

fn make(changes: &mut Changes, piece: PieceView<'_>, decision: &Decision, in_a_complex: bool) {
    let Some((rule, _)) = decision.because.first() else {
        return;
    };
    let text = decision.because.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" ");
    if decision.off {
        changes.take_off(piece, rule, &text);
        return;
    }
    let mut becomes = *piece;
    let mut edit = changes.of(piece);
    if let Some(swap) = decision.swap {
        (becomes.amount_low, becomes.amount_high) = (swap.amount_low, swap.amount_high);
        edit = edit.movement(swap.movement).sides(swap.sides());
    }
    let sets = match piece.scheme() {
        "sets" | "interval-sets" if in_a_complex => Sets::OfAComplex,
        "sets" | "interval-sets" => Sets::Own,
        _ => Sets::Shared,
    };
    let (times, low, high) = cut(&becomes, decision.volume_percent, sets);
    let kept = (low, high) == (piece.amount_low, piece.amount_high);
    let (low, high) = if kept { (low, high) } else { (friendly(low, piece.measure), friendly(high, piece.measure)) };
    edit.times(times)
        .amount(low, high)
        .load_share(decision.load_percent * 10)
        .range((piece.range_percent * decision.range_percent / 100).max(1))
        .because(rule, &text);
}

/// The worst severity on each region.
fn limited(athlete: &AthleteView<'_, '_>, regions: usize) -> Vec<Option<Severity>> {
    let mut limited: Vec<Option<Severity>> = vec![None; regions];
    for limitation in athlete.limitations() {
        let worse = |known: &Option<Severity>| known.is_none_or(|known| (known as u8) < limitation.severity as u8);
        if let Some(worst) = limited.get_mut(limitation.region as usize).filter(|known| worse(known)) {
            *worst = Some(limitation.severity);
        }
    }
    limited
}

/// The limitation that a movement goes furthest beyond, in words.
fn worst(bounds: &Bounds<'_>, athlete: &AthleteView<'_, '_>, demand: &[u8]) -> String {
    let beyond = |limitation: &&Limitation| {
        let demand = demand.get(limitation.region as usize).map_or(0, |demand| i64::from(*demand));
        demand - i64::from(bounds.settings.restriction(limitation.severity).highest_demand)
    };
    let worst = athlete.limitations().filter(|limitation| beyond(limitation) > 0);
    let worst = worst.max_by_key(|limitation| (limitation.severity as u8, beyond(limitation)));
    worst.map_or_else(|| "A limitation".into(), |limitation| named(bounds.catalogue, limitation))
}

/// For example `Left upper back, moderate`.
fn named(catalogue: &Catalogue, limitation: &Limitation) -> String {
    let region = catalogue.tables().regions.get(limitation.region as usize).map_or("region", String::as_str);
    let region = region.replace('-', " ");
    let severity = match limitation.severity {
        Severity::Mild => "mild",
        Severity::Moderate => "moderate",
        Severity::Severe => "severe",
    };
    let side = match limitation.side {
        BodySide::Both => "",
        BodySide::Left => "Left ",
        BodySide::Right => "Right ",
    };
    let mut name = format!("{side}{region}, {severity}");
    if let Some(first) = name.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    name
}
