//! Power, split and time on a rowing machine.

use classwright_training::formulas::{OutOfRange, rowing};
use serde_json::json;

use super::{Answer, ReckonError, args, rounded, short};

/// One of power, split and time.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("known").required(true).args(["watts", "split", "time"]))]
pub(crate) struct RowArgs {
    /// Power in watts.
    #[arg(long, allow_negative_numbers = true)]
    watts: Option<f64>,
    /// Time for 500 m, for example 2:00.
    #[arg(long, value_parser = args::seconds, allow_hyphen_values = true)]
    split: Option<f64>,
    /// Time for the metres.
    #[arg(long, value_parser = args::seconds, requires = "metres", allow_hyphen_values = true)]
    time: Option<f64>,
    /// Distance.
    #[arg(long, allow_negative_numbers = true)]
    metres: Option<f64>,
}

pub(super) fn row(args: &RowArgs) -> Result<Answer, ReckonError> {
    let at = |place: &'static str| {
        move |refusal: OutOfRange| {
            ReckonError::new(place, refusal, "Give --watts 200, --split 2:00, or --metres 2000 --time 8:00.")
        }
    };
    let split = match (args.watts, args.split, args.time, args.metres) {
        (Some(watts), ..) => rowing::split_s(watts).map_err(at("--watts"))?,
        (_, Some(split), ..) => split,
        (_, _, Some(time), Some(metres)) => rowing::split_of(metres, time).map_err(at("--metres"))?,
        _ => {
            return Err(ReckonError::new("--time", "it says nothing without a distance", "Give --metres as well."));
        }
    };
    let watts = rowing::watts(split).map_err(at("--split"))?;
    let mut json = json!({
        "split_s": rounded(split), "split": clock(split), "watts": rounded(watts), "source": rowing::SOURCE,
    });
    let mut text = format!("{} for 500 m, {} W", clock(split), short(watts));
    if let Some(metres) = args.metres {
        let seconds = rowing::seconds(metres, split).map_err(at("--metres"))?;
        json["metres"] = json!(rounded(metres));
        json["time_s"] = json!(rounded(seconds));
        json["time"] = json!(clock(seconds));
        text += &format!(", {} m in {}", short(metres), clock(seconds));
    }
    text += &format!("\nby {}", rowing::SOURCE);
    Ok(Answer { text, json })
}

/// Minutes and seconds to the tenth.
fn clock(seconds: f64) -> String {
    let tenths = (seconds * 10.0).round() as u64;
    format!("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10)
}
