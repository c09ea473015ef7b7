//! House substitution: what to do where the kit is missing.
//!
//! For each piece that needs kit the athlete's place lacks, the nearest movement by pattern, demand and skill that
//! the kit there allows, with the amount and the load adapted so that nothing goes above what was written; where
//! there is none, the piece comes off with a word to ask the coach. This file is the border; the rules are in
//! `rules` and the files it uses, the owner's say in [`settings`].

mod amounts;
mod complexes;
mod excerpt;
mod loads;
mod nearest;
mod places;
mod rules;
pub mod settings;
mod words;

use classwright_sdk::{Answer, Class, Declined, Library, Policy, Substitution};

/// The house substitution policy.
#[derive(Debug)]
pub struct House;

impl Policy for House {
    const NAME: &'static str = "house-substitution";
    const VERSION: &'static str = env!("CARGO_PKG_VERSION");
    const LICENCE: &'static str = env!("CARGO_PKG_LICENSE");
    const PURPOSE: &'static str = "Where kit is missing, the nearest movement that the kit at hand allows.";
    type Settings = settings::Settings;
}

impl Substitution for House {
    fn substitute(class: &Class<'_>, library: &dyn Library, settings: &Self::Settings) -> Result<Answer, Declined> {
        Ok(rules::substitute(class, library, settings))
    }
}

classwright_sdk::export_substitution!(House);
