//! What a policy author implements, and how a component's exports reach it.
//!
//! A policy is a type without data: [`Policy`] says what it is, and one trait a kind says what it does. Settings are
//! plain data with a schema; the host has checked them against it before they come here.

use std::fmt;

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::de::DeserializeOwned;

use crate::class::Class;
use crate::library::Library;
use crate::wire::about::exports::classwright::policy::about::Description;
use crate::wire::common::classwright::policy::cards;
use crate::wire::heats::exports::classwright::policy::heats_rule as heats;

/// What a policy is.
pub trait Policy {
    /// Lower-case letters, digits and hyphens.
    const NAME: &'static str;
    /// Semantic version; usually `env!("CARGO_PKG_VERSION")`.
    const VERSION: &'static str;
    /// SPDX licence expression; usually `env!("CARGO_PKG_LICENSE")`.
    const LICENCE: &'static str;
    /// One line: what it is for.
    const PURPOSE: &'static str;
    /// What the owner may set. Empty settings are the default.
    type Settings: DeserializeOwned + JsonSchema + Default;
}

/// A policy that says what each person can do of what was written.
pub trait Scaling: Policy {
    /// Answers for one class.
    fn scale(class: &Class<'_>, library: &dyn Library, settings: &Self::Settings) -> Result<cards::Answer, Declined>;
}

/// A policy that says what to do where the kit is missing.
pub trait Substitution: Policy {
    /// Answers for one class.
    fn substitute(
        class: &Class<'_>,
        library: &dyn Library,
        settings: &Self::Settings,
    ) -> Result<cards::Answer, Declined>;
}

/// A policy that says who starts when, and who has which bar.
pub trait Heats: Policy {
    /// Answers for one floor.
    fn plan_heats(floor: &heats::Question, settings: &Self::Settings) -> Result<heats::Answer, Declined>;
}

/// Why a policy declines to answer: a sentence for the coach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Declined(pub String);

impl fmt::Display for Declined {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Declined {}

impl From<String> for Declined {
    fn from(sentence: String) -> Self {
        Declined(sentence)
    }
}

impl From<&str> for Declined {
    fn from(sentence: &str) -> Self {
        Declined(sentence.into())
    }
}

/// A policy's description, with the schema of its settings.
pub fn describe<P: Policy>(kinds: &[&str]) -> Description {
    let schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<P::Settings>();
    Description {
        name: P::NAME.into(),
        version: P::VERSION.into(),
        licence: P::LICENCE.into(),
        kinds: kinds.iter().map(|kind| String::from(*kind)).collect(),
        purpose: P::PURPOSE.into(),
        settings_schema: schema.as_value().to_string(),
    }
}

/// Reads settings; no text is the default.
pub fn settings<P: Policy>(text: &str) -> Result<P::Settings, Declined> {
    if text.trim().is_empty() {
        return Ok(P::Settings::default());
    }
    serde_json::from_str(text).map_err(|error| Declined(format!("the settings of {} cannot be read: {error}", P::NAME)))
}

/// Answers a scaling question with any library.
pub fn scale<P: Scaling>(question: &cards::Question, library: &dyn Library) -> Result<cards::Answer, Declined> {
    P::scale(&Class::new(question), library, &settings::<P>(&question.settings)?)
}

/// Answers a substitution question with any library.
pub fn substitute<P: Substitution>(
    question: &cards::Question,
    library: &dyn Library,
) -> Result<cards::Answer, Declined> {
    P::substitute(&Class::new(question), library, &settings::<P>(&question.settings)?)
}

/// Answers a heats question.
pub fn plan_heats<P: Heats>(question: &heats::Question) -> Result<heats::Answer, Declined> {
    P::plan_heats(question, &settings::<P>(&question.settings)?)
}
