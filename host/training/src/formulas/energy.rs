//! Energy of an activity, from its multiple of rest (MET).
//!
//! Two conventions differ by exactly 5 %: the equation (MET x 3.5 x kg / 200 a minute, ACSM) and the short one (1 kcal
//! for a kilogram and hour). Multiples: 2011 Compendium (Ainsworth et al., Med Sci Sports Exerc 43(8):1575-1581) and
//! 2024 Compendium (Herrmann et al., J Sport Health Sci 13:6-12); the editions differ, so a value names its own. They
//! are means of groups, and a guess for any one athlete.

use super::{OutOfRange, above_zero};

/// How a multiple becomes kilocalories.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Convention {
    /// MET x 3.5 x kg / 200 a minute.
    Equation,
    /// MET x kg x hours.
    Short,
}

/// Kilocalories of so many minutes.
pub fn kilocalories(met: f64, kg: f64, minutes: f64, convention: Convention) -> Result<f64, OutOfRange> {
    let all = above_zero("multiple of rest", met)? * above_zero("body mass", kg)? * above_zero("minutes", minutes)?;
    Ok(match convention {
        Convention::Equation => all * 3.5 / 200.0,
        Convention::Short => all / 60.0,
    })
}

/// An activity of the compendium.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Activity {
    /// Code in the compendium.
    pub code: &'static str,
    /// In our words.
    pub name: &'static str,
    /// Multiple in the 2011 edition.
    pub met_2011: Option<f64>,
    /// Multiple in the 2024 edition.
    pub met_2024: Option<f64>,
}

const fn row(code: &'static str, name: &'static str, met_2011: f64, met_2024: f64) -> Activity {
    Activity { code, name, met_2011: Some(met_2011), met_2024: Some(met_2024) }
}

const fn new_row(code: &'static str, name: &'static str, met_2024: f64) -> Activity {
    Activity { code, name, met_2011: None, met_2024: Some(met_2024) }
}

/// Activities that classes are made of. Burpees have no code of their own.
pub const ACTIVITIES: [Activity; 14] = [
    row("02020", "body-weight exercises, vigorous", 8.0, 7.5),
    row("02035", "circuit training, moderate", 4.3, 5.0),
    row("02040", "circuit training with kettlebells, little rest, vigorous", 8.0, 7.5),
    row("02050", "resistance training, vigorous", 6.0, 6.0),
    row("02052", "squats and deadlifts", 5.0, 5.0),
    row("02054", "resistance training, sets of 8 to 15", 3.5, 3.5),
    new_row("02058", "kettlebell swings", 9.8),
    row("02068", "rope skipping, general", 12.3, 11.0),
    row("02070", "rowing machine, vigorous", 6.0, 7.3),
    new_row("02214", "high-intensity intervals with burpees", 11.0),
    row("12050", "running, 6 miles an hour", 9.8, 9.3),
    row("15550", "rope jumping, fast", 12.3, 12.3),
    row("15551", "rope jumping, 100 to 120 a minute", 11.8, 11.8),
    row("15552", "rope jumping, slow", 8.8, 8.3),
];

/// The activity of a code.
pub fn activity(code: &str) -> Option<Activity> {
    ACTIVITIES.into_iter().find(|activity| activity.code == code)
}
