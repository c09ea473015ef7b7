//! The house scaling policy: what each person can do of what was written.
//!
//! Spares the regions that an athlete reports as limited, keeps movements within their skill, and brings them back
//! slowly after a break. It only ever lowers: no load, volume, range or demand ends above what was written. It
//! neither diagnoses nor clears anyone; where nothing fits, the piece comes off and the reason says who to ask.
//!
//! Read next: [`settings`] for the numbers an owner may change, [`rules`] for what is done with them.

pub mod rules;
pub mod settings;
mod swap;
mod volume;

use classwright_sdk::{Answer, Class, Declined, Library, Policy, Scaling};

pub use settings::Settings;

/// The policy.
#[derive(Debug)]
pub struct House;

impl Policy for House {
    const NAME: &'static str = "house-scaling";
    const VERSION: &'static str = env!("CARGO_PKG_VERSION");
    const LICENCE: &'static str = env!("CARGO_PKG_LICENSE");
    const PURPOSE: &'static str =
        "Spares sore regions, keeps to each person's skill, and eases the return after a break.";
    type Settings = Settings;
}

impl Scaling for House {
    fn scale(class: &Class<'_>, library: &dyn Library, settings: &Settings) -> Result<Answer, Declined> {
        settings.check()?;
        Ok(rules::scale(class, library, settings))
    }
}

classwright_sdk::export_scaling!(House);
