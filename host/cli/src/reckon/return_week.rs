//! The first weeks back after a break.

use classwright_training::formulas::return_to_training::{SOURCE, Standing, relative_volume, week_back};
use serde_json::json;

use super::{Answer, CAUTION, ReckonError, args, rounded, short};

/// A week, and sets to judge.
#[derive(Debug, clap::Args)]
pub(crate) struct ReturnArgs {
    /// Week back, from 1.
    #[arg(long, value_parser = args::count, allow_hyphen_values = true)]
    week: u32,
    /// Sets of one movement.
    #[arg(long, value_parser = args::count, requires_all = ["reps", "percent"], allow_hyphen_values = true)]
    sets: Option<u32>,
    /// Repetitions of each set.
    #[arg(long, value_parser = args::count, requires_all = ["sets", "percent"], allow_hyphen_values = true)]
    reps: Option<u32>,
    /// Percent of a best.
    #[arg(long, value_parser = args::percent, requires_all = ["sets", "reps"], allow_hyphen_values = true)]
    percent: Option<f64>,
}

pub(super) fn return_week(args: &ReturnArgs) -> Result<Answer, ReckonError> {
    let back = week_back(args.week)
        .map_err(|refusal| ReckonError::new("--week", refusal, "Count the first week back as 1."))?;
    let band = back.relative_volume.map(|band| json!([band.from, band.to]));
    let mut json = json!({
        "week": args.week,
        "volume_fraction": f64::from(back.volume_percent) / 100.0,
        "lifting_days": back.lifting_days,
        "irv_band": band,
        "source": SOURCE,
        "caution": CAUTION,
    });
    let mut text = format!("week {} back: {} % of the usual conditioning", args.week, back.volume_percent);
    if let Some(days) = back.lifting_days {
        text += &format!(", lifting on at most {days} days");
    }
    if let Some(band) = back.relative_volume {
        text += &format!("\nsets x repetitions x fraction of the best (IRV): {band}");
    }
    if let (Some(sets), Some(reps), Some(percent)) = (args.sets, args.reps, args.percent) {
        let irv = relative_volume(sets, reps, percent / 100.0)
            .map_err(|refusal| ReckonError::new("--percent", refusal, "Give a percent of a best, for example 50."))?;
        let (id, words) = match back.judge(irv) {
            Some(Standing::Under) => (Some("under"), "too little to serve"),
            Some(Standing::Within) => (Some("within"), "within"),
            Some(Standing::Over) => (Some("over"), "too much"),
            None => (None, "no limit in this week"),
        };
        json["irv"] = json!(rounded(irv));
        json["irv_standing"] = json!(id);
        text += &format!("\n{sets} x {reps} at {} %: IRV {}, {words}", short(percent), short(irv));
    }
    text += &format!("\nby {SOURCE}; written for healthy students after a planned break\n{CAUTION}");
    Ok(Answer { text, json })
}
