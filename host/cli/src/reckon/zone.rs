//! Volume by percent of a best.

use classwright_training::formulas::zones::{self, SOURCE, Verdict};
use serde_json::json;

use super::{Answer, CAUTION, ReckonError, args, rounded, short};

/// A percent, and sets to judge.
#[derive(Debug, clap::Args)]
pub(crate) struct ZoneArgs {
    /// Percent of a best.
    #[arg(long, value_parser = args::percent, allow_hyphen_values = true)]
    percent: f64,
    /// Sets to judge.
    #[arg(long, value_parser = args::count, requires = "reps", allow_hyphen_values = true)]
    sets: Option<u32>,
    /// Repetitions of each set.
    #[arg(long, value_parser = args::count, requires = "sets", allow_hyphen_values = true)]
    reps: Option<u32>,
}

pub(super) fn zone(args: &ZoneArgs) -> Result<Answer, ReckonError> {
    let refused = |refusal| ReckonError::new("--percent", refusal, "Give a percent of a best, for example 75.");
    let zone = zones::zone(args.percent).map_err(refused)?;
    let mut json = json!({
        "percent": rounded(args.percent),
        "zone": zone.id,
        "reps_per_set": [zone.reps_per_set.from, zone.reps_per_set.to],
        "optimal_total": zone.optimal_total,
        "total": [zone.total.from, zone.total.to],
        "source": SOURCE,
        "caution": CAUTION,
    });
    let mut text = format!(
        "{} %: {} repetitions a set, {} in all, {} best",
        short(args.percent),
        zone.reps_per_set,
        zone.total,
        zone.optimal_total,
    );
    if let (Some(sets), Some(reps)) = (args.sets, args.reps) {
        let judged = zones::judge(args.percent, sets, reps).map_err(refused)?;
        let (id, words) = match judged.verdict {
            Verdict::BelowRange => ("below-range", "under the range"),
            Verdict::InRange => ("in-range", "in the range"),
            Verdict::Optimal => ("optimal", "the best total"),
            Verdict::AboveRange => ("above-range", "over the range"),
        };
        json["judged"] = json!({
            "sets": sets,
            "reps": reps,
            "total": judged.total,
            "verdict": id,
            "reps_per_set_fit": judged.reps_per_set_fit,
        });
        let fit = if judged.reps_per_set_fit { "fit" } else { "do not fit" };
        text += &format!("\n{sets} x {reps} is {}: {words}; {reps} in a set {fit}", judged.total);
    }
    text += &format!("\nby {SOURCE}, for the competition lifts of trained lifters\n{CAUTION}");
    Ok(Answer { text, json })
}
