//! A best from a set, and repetitions from a best.

use classwright_training::formulas::{
    bests::{ADVISED_REPS, Equation, NoBest},
    percent::Edition,
};
use serde_json::{Map, Value, json};

use super::args::{self, LoadArg, put_mass, shown};
use super::{Answer, ReckonError, rounded, short};

const REPS_REMEDY: &str = "Use a set of 1 to 36 repetitions; above 10 every equation is a guess.";

/// A set to failure.
#[derive(Debug, clap::Args)]
pub(crate) struct BestArgs {
    /// Load of the set, for example 100kg or 225lb; a plain number is kilograms.
    #[arg(long, allow_hyphen_values = true)]
    load: LoadArg,
    /// Repetitions done.
    #[arg(long, value_parser = args::count, allow_hyphen_values = true)]
    reps: u32,
    /// Equation; all seven where none is named.
    #[arg(long, value_parser = args::equation(), ignore_case = true)]
    by: Option<Equation>,
}

/// A best and a load.
#[derive(Debug, clap::Args)]
pub(crate) struct RepsArgs {
    /// The best, for example 120kg.
    #[arg(long, allow_hyphen_values = true)]
    best: LoadArg,
    /// The load to be lifted.
    #[arg(long, allow_hyphen_values = true)]
    load: LoadArg,
    /// Equation; the percent table and all seven where none is named.
    #[arg(long, value_parser = args::equation(), ignore_case = true)]
    by: Option<Equation>,
    /// Edition of the percent table.
    #[arg(long, value_parser = args::edition(), ignore_case = true, default_value = "chart")]
    edition: Edition,
}

pub(super) fn best(args: &BestArgs) -> Result<Answer, ReckonError> {
    let BestArgs { load, reps, by } = *args;
    let unit = load.unit;
    let estimate = |equation: Equation| {
        equation.best(load.value, reps).map_err(|refusal| ReckonError::new("--reps", refusal, REPS_REMEDY))
    };
    let mut json = Map::new();
    put_mass(&mut json, "load", load.value, unit);
    json.insert("reps".to_owned(), json!(reps));
    let mut text = match by {
        Some(equation) => {
            let best = estimate(equation)?;
            put_mass(&mut json, "best", best, unit);
            json.insert("by".to_owned(), json!(equation.id()));
            json.insert("source".to_owned(), json!(equation.source()));
            format!("{load} x {reps}: best about {}\nby {}", shown(best, unit), equation.source())
        }
        None => {
            let mut text = format!("{load} x {reps}: best about");
            let mut all = Map::new();
            for equation in Equation::ALL {
                let best = estimate(equation)?;
                let mut row = Map::new();
                put_mass(&mut row, "best", best, unit);
                row.insert("source".to_owned(), json!(equation.source()));
                all.insert(equation.id().to_owned(), Value::Object(row));
                text += &format!("\n  {:>9}  {}", shown(best, unit), equation.source());
            }
            json.insert("equations".to_owned(), Value::Object(all));
            text
        }
    };
    json.insert("advised".to_owned(), json!(reps <= ADVISED_REPS));
    match reps {
        1 => text += "\nOne repetition is the best itself, whatever an equation says of it.",
        _ if reps > ADVISED_REPS => text += &format!("\nMore than {ADVISED_REPS} repetitions: take it as a guess."),
        _ => {}
    }
    Ok(Answer { text, json: Value::Object(json) })
}

pub(super) fn reps(args: &RepsArgs) -> Result<Answer, ReckonError> {
    let RepsArgs { best, load, by, edition } = *args;
    let given = load.in_unit(best.unit);
    let percent = 100.0 * given / best.value;
    let mut json = Map::new();
    put_mass(&mut json, "best", best.value, best.unit);
    put_mass(&mut json, "load", load.value, load.unit);
    json.insert("percent".to_owned(), json!(rounded(percent)));
    let head = format!("{load} is {} % of {best}", short(percent));
    let remedy = "Give a load not above the best, and not so light that it goes more than 36 times.";
    let by_equation = |equation: Equation| equation.reps(best.value, given);
    if let Some(equation) = by {
        let reps = by_equation(equation).map_err(|refusal| ReckonError::new("--load", refusal, remedy))?;
        json.insert("reps".to_owned(), json!(reps));
        json.insert("by".to_owned(), json!(equation.id()));
        json.insert("source".to_owned(), json!(equation.source()));
        let text = format!("{head}: {}\nby {}", times(reps), equation.source());
        return Ok(Answer { text, json: Value::Object(json) });
    }
    // Above the best no way of counting has an answer; below the table's last row the equations may still have one.
    if let Err(refusal @ NoBest::AboveBest { .. }) = by_equation(Equation::Epley) {
        return Err(ReckonError::new("--load", refusal, remedy));
    }
    let table = edition.reps(percent.min(100.0)).ok();
    let mut all = Map::new();
    let in_table = table.map_or("under the table's last row, 15 times at 65 %".to_owned(), times);
    let mut text = format!("{head}\n  {in_table}  {}", edition.source());
    for equation in Equation::ALL {
        let reps = by_equation(equation).ok();
        all.insert(equation.id().to_owned(), json!(reps));
        text += &format!("\n  {}  {}", reps.map_or("over 36 times".to_owned(), times), equation.source());
    }
    json.insert("reps".to_owned(), json!(table));
    json.insert("by".to_owned(), json!(edition.id()));
    json.insert("source".to_owned(), json!(edition.source()));
    json.insert("equations".to_owned(), Value::Object(all));
    Ok(Answer { text, json: Value::Object(json) })
}

fn times(reps: u32) -> String {
    if reps == 1 { "once".to_owned() } else { format!("{reps} times") }
}
