//! The load for a percent of a best, or for a number of repetitions.

use classwright_training::formulas::percent::Edition;
use serde_json::{Map, Value, json};

use super::args::{self, LoadArg, put_mass, shown};
use super::{Answer, ReckonError, rounded, short};

/// A best, and a percent or repetitions.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("how").required(true).args(["percent", "reps"]))]
pub(crate) struct PercentArgs {
    /// The best, for example 100kg or 315lb.
    #[arg(long, allow_hyphen_values = true)]
    best: LoadArg,
    /// Percent of it.
    #[arg(long, value_parser = args::percent, allow_hyphen_values = true)]
    percent: Option<f64>,
    /// Repetitions that the load should allow.
    #[arg(long, value_parser = args::count, allow_hyphen_values = true)]
    reps: Option<u32>,
    /// Edition of the percent table; they differ at 11 and 12 repetitions.
    #[arg(long, value_parser = args::edition(), ignore_case = true, default_value = "chart")]
    edition: Edition,
}

pub(super) fn percent(args: &PercentArgs) -> Result<Answer, ReckonError> {
    let PercentArgs { best, edition, .. } = *args;
    let (percent, reps) = match (args.percent, args.reps) {
        (Some(percent), _) => (percent, edition.reps(percent).ok()),
        (None, Some(reps)) => {
            let remedy = "The table goes to 15; for more use 'reckon reps' with an equation.";
            (edition.percent(reps).map_err(|refusal| ReckonError::new("--reps", refusal, remedy))?, Some(reps))
        }
        (None, None) => {
            return Err(ReckonError::new(
                "--percent",
                "there is neither a percent nor repetitions",
                "Give one of both.",
            ));
        }
    };
    let load = best.value * percent / 100.0;
    let mut json = Map::new();
    put_mass(&mut json, "best", best.value, best.unit);
    put_mass(&mut json, "load", load, best.unit);
    json.insert("percent".to_owned(), json!(rounded(percent)));
    json.insert("reps".to_owned(), json!(reps));
    json.insert("edition".to_owned(), json!(edition.id()));
    json.insert("source".to_owned(), json!(edition.source()));
    let goes = match reps {
        Some(reps) => format!("about {reps} repetitions by the {}", edition.source()),
        None => format!("outside the {} (65 to 100 %)", edition.source()),
    };
    let text = format!("{} % of {best} is {}\n{goes}", short(percent), shown(load, best.unit));
    Ok(Answer { text, json: Value::Object(json) })
}
