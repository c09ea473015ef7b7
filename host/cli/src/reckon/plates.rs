//! Which plates make a load.

use classwright_training::formulas::discs::POUND_PLATES;
use classwright_training::plates::{BarSetUp, CannotBeMade, Made, Maker, Rounding, hundredths_of_pounds};
use classwright_training::{Mass, PlateStock, Unit};
use serde_json::{Map, Value, json};

use super::args::{self, LoadArg};
use super::{Answer, ReckonError, rounded};

const PLATES_REMEDY: &str = "Write each plate with its pairs, for example --plates 25x2,20x2,10x1,2.5x1.";

/// A load and a bar.
#[derive(Debug, clap::Args)]
pub(crate) struct PlatesArgs {
    /// Load to be made, bar and all, for example 100kg or 135lb.
    #[arg(long, allow_hyphen_values = true)]
    load: LoadArg,
    /// The bar alone; 20kg, or 45lb for a load in pounds, where it is not given.
    #[arg(long, allow_hyphen_values = true)]
    bar: Option<LoadArg>,
    /// Plates and how many pairs: "25x2,20x2,10x1", in the unit of the load. Enough of the usual where not given.
    #[arg(long, allow_hyphen_values = true)]
    plates: Option<String>,
    /// One collar, where collars count in the load.
    #[arg(long, value_parser = args::collar, allow_hyphen_values = true)]
    collar: Option<LoadArg>,
    /// Where the load cannot be made; both neighbours are told where it is not given.
    #[arg(long)]
    round: Option<Round>,
    /// Plates on each side now, inner to outer: "20,20,5". As many as possible stay on.
    #[arg(long, allow_hyphen_values = true)]
    on: Option<String>,
}

/// Which way to go.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Round {
    /// The heaviest that is not above.
    NotAbove,
    /// The nearest, the lower of two.
    Nearest,
    /// The lightest that is not below.
    NotBelow,
}

pub(super) fn plates(args: &PlatesArgs) -> Result<Answer, ReckonError> {
    let unit = args.load.unit;
    let (bar, usual) = match unit {
        Unit::Kilograms => (2000, [2500, 2000, 1500, 1000, 500, 250, 125].as_slice()),
        Unit::Pounds => (4500, POUND_PLATES.as_slice()),
    };
    let plates = match &args.plates {
        Some(list) => args::plate_list(list, unit)
            .map_err(|problem| ReckonError::new("--plates", problem, PLATES_REMEDY))?
            .into_iter()
            .map(|(plate, pairs)| PlateStock { mass: plate.mass(), pairs })
            .collect(),
        None => usual.iter().map(|&plate| PlateStock { mass: unit.to_mass(plate), pairs: 20 }).collect(),
    };
    let setup = BarSetUp {
        bar: args.bar.map_or(unit.to_mass(bar), LoadArg::mass),
        collar: args.collar.map_or(Mass::ZERO, LoadArg::mass),
        plates,
    };
    let on = args.on.as_deref().map(|list| args::side_list(list, unit)).transpose();
    let on = on.map_err(|problem| {
        ReckonError::new("--on", problem, "Write one side from inner to outer, for example --on 20,20,5.")
    })?;
    let (maker, target) = (Maker::new(&setup), args.load.mass());
    let made = match args.round {
        None => maker.make_exact(target, on.as_deref()),
        Some(Round::NotAbove) => maker.make(target, Rounding::NotAbove, on.as_deref()),
        Some(Round::Nearest) => maker.make(target, Rounding::Nearest, on.as_deref()),
        Some(Round::NotBelow) => maker.make(target, Rounding::NotBelow, on.as_deref()),
    };
    let mut json = Map::new();
    put(&mut json, "target", target, unit);
    put(&mut json, "collar", setup.collar, unit);
    let text = match made {
        Ok(made) => {
            json.insert("made".to_owned(), json!(true));
            json.insert("exact".to_owned(), json!(made.total == target));
            put_made(&mut json, &made, unit);
            let note = if made.total == target { String::new() } else { format!(" (asked for {})", args.load) };
            format!("{}{note}\n{}", shown(made.total, unit), told(&made, unit))
        }
        Err(CannotBeMade { below, above }) => {
            json.insert("made".to_owned(), json!(false));
            let mut text = format!("{} cannot be made", args.load);
            for (name, neighbour) in [("below", below), ("above", above)] {
                let row = neighbour.as_ref().map(|made| {
                    let mut row = Map::new();
                    put_made(&mut row, made, unit);
                    row
                });
                json.insert(name.to_owned(), json!(row));
                text += &match neighbour {
                    Some(made) => format!("\n  {name}: {}, {}", shown(made.total, unit), told(&made, unit)),
                    None => format!("\n  {name}: nothing"),
                };
            }
            text
        }
    };
    Ok(Answer { text, json: Value::Object(json) })
}

fn told(made: &Made, unit: Unit) -> String {
    let side: Vec<String> = made.side.iter().map(|&plate| number(plate, unit).to_string()).collect();
    let side = if side.is_empty() { "nothing".to_owned() } else { side.join(" + ") };
    format!("{} bar, on each side from the inside: {side}", shown(made.bar, unit))
}

fn put_made(json: &mut Map<String, Value>, made: &Made, unit: Unit) {
    put(json, "total", made.total, unit);
    put(json, "bar", made.bar, unit);
    let side = |unit| -> Vec<f64> { made.side.iter().map(|&plate| number(plate, unit)).collect() };
    json.insert("side_kg".to_owned(), json!(side(Unit::Kilograms)));
    if unit == Unit::Pounds {
        json.insert("side_lb".to_owned(), json!(side(Unit::Pounds)));
    }
}

fn put(json: &mut Map<String, Value>, name: &str, mass: Mass, unit: Unit) {
    json.insert(format!("{name}_kg"), json!(mass.kg()));
    if unit == Unit::Pounds {
        json.insert(format!("{name}_lb"), json!(number(mass, unit)));
    }
}

fn shown(mass: Mass, unit: Unit) -> String {
    format!("{} {}", number(mass, unit), unit.symbol())
}

/// A pound plate is told as what is written on it.
fn number(mass: Mass, unit: Unit) -> f64 {
    match (unit, hundredths_of_pounds(mass)) {
        (Unit::Kilograms, _) => mass.kg(),
        (Unit::Pounds, Some(hundredths)) => f64::from(hundredths) / 100.0,
        (Unit::Pounds, None) => rounded(mass.pounds()),
    }
}
