//! The one-repetition maximum that a set to failure speaks for, by seven published equations.
//!
//! One repetition is the best itself, whatever an equation says of it: only two of the seven return the load there.
//! Every equation takes 1 to 36 repetitions and refuses the rest: one has no value from 37 on, another none from 38
//! on, and the others stop with them since nothing was measured there. Above [`ADVISED_REPS`] an estimate is a
//! guess, and callers should say so. Loads are in any unit; the answer is in the same.

use super::{OutOfRange, above_zero};

/// Above so many repetitions no equation is to be trusted (advice of Reynolds, Gordon, Robergs, J Strength Cond Res
/// 20(3):584-592, 2006).
pub const ADVISED_REPS: u32 = 10;

/// The most repetitions that any equation takes.
pub const MOST_REPS: u32 = 36;

/// A published equation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Equation {
    /// w (1 + r / 30).
    Epley,
    /// 36 w / (37 - r).
    Brzycki,
    /// 100 w / (101.3 - 2.67123 r).
    Lander,
    /// w r^0.10.
    Lombardi,
    /// 100 w / (52.2 + 41.9 e^(-0.055 r)).
    Mayhew,
    /// w (1 + r / 40).
    OConner,
    /// 100 w / (48.8 + 53.8 e^(-0.075 r)).
    Wathan,
}

/// Why there is no estimate.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoBest {
    /// Repetitions that the equation does not take.
    #[error("{equation} takes 1 to {most} repetitions, and {reps} is not among them", equation = .equation.name())]
    Reps {
        /// Which equation.
        equation: Equation,
        /// What was given.
        reps: u32,
        /// The most it takes.
        most: u32,
    },
    /// A load or best that is no mass.
    #[error(transparent)]
    Quantity(#[from] OutOfRange),
    /// More than the best.
    #[error("the load is {percent:.1} % of the best: nothing above 100 % is expected even once")]
    AboveBest {
        /// Load in percent of the best.
        percent: f64,
    },
    /// So light that the equation has no answer.
    #[error(
        "the load is {percent:.1} % of the best: {equation} stops at {most} repetitions, which is heavier",
        equation = .equation.name()
    )]
    TooLight {
        /// Which equation.
        equation: Equation,
        /// Load in percent of the best.
        percent: f64,
        /// The most repetitions it takes.
        most: u32,
    },
}

impl Equation {
    /// All seven.
    pub const ALL: [Equation; 7] = [
        Equation::Epley,
        Equation::Brzycki,
        Equation::Lander,
        Equation::Lombardi,
        Equation::Mayhew,
        Equation::OConner,
        Equation::Wathan,
    ];

    /// The best that a load done so many times to failure speaks for.
    pub fn best(self, load: f64, reps: u32) -> Result<f64, NoBest> {
        let load = above_zero("load", load)?;
        Ok(load * self.ratio(reps)?)
    }

    /// The load that can be done so many times with a best.
    pub fn load(self, best: f64, reps: u32) -> Result<f64, NoBest> {
        let best = above_zero("best", best)?;
        Ok(best / self.ratio(reps)?)
    }

    /// How many whole repetitions of a load a best speaks for.
    pub fn reps(self, best: f64, load: f64) -> Result<u32, NoBest> {
        let percent = 100.0 * above_zero("load", load)? / above_zero("best", best)?;
        // A load computed from a best must find its own repetitions again.
        let wanted = load * (1.0 - 1e-9);
        if self.load(best, 1)? < wanted {
            return Err(NoBest::AboveBest { percent });
        }
        // Ratios rise with every repetition, so the first that is too heavy is one too many.
        for reps in 2..=MOST_REPS {
            if self.load(best, reps)? < wanted {
                return Ok(reps - 1);
            }
        }
        Err(NoBest::TooLight { equation: self, percent, most: MOST_REPS })
    }

    /// What the equation as printed says, even for one repetition, where most of them do not return the load.
    /// Not a number where the equation has no value.
    pub fn as_printed(self, load: f64, reps: u32) -> f64 {
        let r = f64::from(reps);
        let share = match self {
            Equation::Epley => 1.0 / (1.0 + r / 30.0),
            Equation::Brzycki => (37.0 - r) / 36.0,
            Equation::Lander => (101.3 - 2.671_23 * r) / 100.0,
            Equation::Lombardi => r.powf(-0.10),
            Equation::Mayhew => (52.2 + 41.9 * (-0.055 * r).exp()) / 100.0,
            Equation::OConner => 1.0 / (1.0 + r / 40.0),
            Equation::Wathan => (48.8 + 53.8 * (-0.075 * r).exp()) / 100.0,
        };
        if share > 0.0 { load / share } else { f64::NAN }
    }

    fn ratio(self, reps: u32) -> Result<f64, NoBest> {
        match reps {
            1 => Ok(1.0),
            2..=MOST_REPS => Ok(self.as_printed(1.0, reps)),
            _ => Err(NoBest::Reps { equation: self, reps, most: MOST_REPS }),
        }
    }

    /// The name as written on the command line.
    pub const fn id(self) -> &'static str {
        match self {
            Equation::Epley => "epley",
            Equation::Brzycki => "brzycki",
            Equation::Lander => "lander",
            Equation::Lombardi => "lombardi",
            Equation::Mayhew => "mayhew",
            Equation::OConner => "oconner",
            Equation::Wathan => "wathan",
        }
    }

    /// The name as printed.
    pub const fn name(self) -> &'static str {
        match self {
            Equation::Epley => "Epley",
            Equation::Brzycki => "Brzycki",
            Equation::Lander => "Lander",
            Equation::Lombardi => "Lombardi",
            Equation::Mayhew => "Mayhew",
            Equation::OConner => "O'Conner",
            Equation::Wathan => "Wathan",
        }
    }

    /// Where it was published.
    pub const fn source(self) -> &'static str {
        match self {
            Equation::Epley => "Epley, Poundage Chart, 1985",
            Equation::Brzycki => "Brzycki, JOPERD 64(1):88-90, 1993",
            Equation::Lander => "Lander, NSCA Journal 6:60-61, 1984/85",
            Equation::Lombardi => "Lombardi, Beginning Weight Training, 1989",
            Equation::Mayhew => "Mayhew et al., J Appl Sport Sci Res 6:200-206, 1992",
            Equation::OConner => "O'Conner, Simmons, O'Shea, Weight Training Today, 1989",
            Equation::Wathan => "Wathan, Load assignment, in Baechle (ed.), 1994",
        }
    }
}

/// The best in a bench press, kilograms, from the load that goes five times (Reynolds, Gordon, Robergs, J Strength
/// Cond Res 20(3):584-592, 2006).
pub fn bench_best_from_five(five_kg: f64) -> Result<f64, OutOfRange> {
    Ok(1.1307 * above_zero("load", five_kg)? + 0.6999)
}

/// The best in a leg press, kilograms, from the load that goes five times; same source.
pub fn leg_press_best_from_five(five_kg: f64) -> Result<f64, OutOfRange> {
    Ok(1.0970 * above_zero("load", five_kg)? + 14.2546)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_repetition_is_the_best_itself() {
        for equation in Equation::ALL {
            assert_eq!(equation.best(80.0, 1), Ok(80.0));
        }
    }

    #[test]
    fn repetitions_outside_the_range_are_refused_by_name() {
        for equation in Equation::ALL {
            assert!(equation.best(40.0, 36).is_ok());
            for reps in [0, 37, 50] {
                let refusal = equation.best(40.0, reps).expect_err("out of range");
                assert!(refusal.to_string().starts_with(&format!("{} takes 1 to 36", equation.name())), "{refusal}");
            }
            for load in [0.0, -1.0, f64::NAN, f64::INFINITY] {
                assert!(matches!(equation.best(load, 5), Err(NoBest::Quantity(_))));
            }
        }
    }

    #[test]
    fn there_and_back() {
        for equation in Equation::ALL {
            for reps in 1..MOST_REPS {
                let load = equation.load(120.0, reps).expect("in range");
                assert!((equation.best(load, reps).expect("in range") - 120.0).abs() < 1e-9);
                assert_eq!(equation.reps(120.0, load), Ok(reps));
            }
            assert!(matches!(equation.reps(100.0, 100.1), Err(NoBest::AboveBest { .. })));
            assert!(matches!(equation.reps(100.0, 1.0), Err(NoBest::TooLight { .. })));
        }
    }
}
