//! Seconds a repetition, from a metronome or from a written tempo.
//!
//! A tempo is four numbers of seconds: down, hold, up, hold (Wilk et al., J Hum Kinet 62:241-250, 2018). No published
//! cycle time of barbell work was found; the movement library's paces are the gym's own.

use super::OutOfRange;

/// What a metronome asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cadence {
    /// Repetitions a minute.
    pub reps_a_minute: f64,
    /// Seconds a repetition.
    pub rep_s: f64,
}

/// The cadence of so many beats a minute with so many beats to a repetition.
pub fn cadence(beats_a_minute: u32, beats_a_rep: u32) -> Result<Cadence, OutOfRange> {
    for (what, given) in [("beats a minute", beats_a_minute), ("beats a repetition", beats_a_rep)] {
        super::above_zero(what, f64::from(given))?;
    }
    let reps_a_minute = f64::from(beats_a_minute) / f64::from(beats_a_rep);
    Ok(Cadence { reps_a_minute, rep_s: 60.0 / reps_a_minute })
}

/// Seconds down, held, up, held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tempo(pub [u32; 4]);

/// A text that is no tempo.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is no tempo: four whole numbers of seconds such as 3/1/1/0")]
pub struct NotATempo(pub String);

impl Tempo {
    /// Seconds a repetition.
    pub fn rep_s(self) -> u32 {
        self.0.iter().fold(0, |all, phase| all.saturating_add(*phase))
    }
}

impl std::str::FromStr for Tempo {
    type Err = NotATempo;

    fn from_str(text: &str) -> Result<Self, NotATempo> {
        let phases: Option<Vec<u32>> = text.split('/').map(|phase| phase.trim().parse().ok()).collect();
        phases.and_then(|phases| <[u32; 4]>::try_from(phases).ok()).map(Tempo).ok_or_else(|| NotATempo(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_numbers_are_no_tempo() {
        for text in ["", "2/0/2", "2/0/2/0/1", "2/x/2/0", "-1/0/2/0"] {
            assert_eq!(text.parse::<Tempo>(), Err(NotATempo(text.to_owned())));
        }
        assert!(cadence(0, 2).is_err() && cadence(40, 0).is_err());
    }
}
