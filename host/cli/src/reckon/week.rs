//! What a week of sessions comes to.

use classwright_training::formulas::week_load::{Deviation, SOURCE, week};
use serde_json::json;

use super::{Answer, ReckonError, rounded};

/// Seven days.
#[derive(Debug, clap::Args)]
pub(crate) struct LoadWeekArgs {
    /// Load of each of the seven days: rating (0 to 10) times minutes, a rest day 0.
    #[arg(required = true, allow_negative_numbers = true)]
    days: Vec<f64>,
    /// Which standard deviation of the days; the source does not say.
    #[arg(long, default_value = "sample")]
    sd: Sd,
}

/// Standard deviation.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Sd {
    /// Over six.
    Sample,
    /// Over seven.
    Population,
}

pub(super) fn load_week(args: &LoadWeekArgs) -> Result<Answer, ReckonError> {
    let remedy = "Give seven loads, Monday to Sunday, for example 420 0 300 480 0 360 0.";
    let refused = |problem: String| ReckonError::new("the days", problem, remedy);
    let days = <[f64; 7]>::try_from(args.days.as_slice())
        .map_err(|_| refused(format!("a week has seven days, and {} are given", args.days.len())))?;
    let (deviation, convention) = match args.sd {
        Sd::Sample => (Deviation::Sample, "sample"),
        Sd::Population => (Deviation::Population, "population"),
    };
    let week = week(&days, deviation).map_err(|refusal| refused(refusal.to_string()))?;
    let json = json!({
        "load": rounded(week.load),
        "mean": rounded(week.mean),
        "sd": rounded(week.deviation),
        "sd_convention": convention,
        "monotony": week.monotony.map(rounded),
        "strain": week.strain.map(rounded),
        "source": SOURCE,
    });
    let rest = match (week.monotony, week.strain) {
        (Some(monotony), Some(strain)) => format!("monotony {monotony:.2}, strain {strain:.0}"),
        _ => "monotony and strain have no value: all days are alike".to_owned(),
    };
    let text = format!("load {}, {rest}\nby {SOURCE}; standard deviation of a {convention}", rounded(week.load));
    Ok(Answer { text, json })
}
