//! `bests.csv`: one-repetition maxima, lifted or estimated from a set of a few repetitions, and since when.

use std::collections::BTreeSet;

use classwright_training::formulas::bests::{ADVISED_REPS, Equation};
use classwright_training::session::Date;
use classwright_training::{Athlete, Best, Mass, MovementIx, MovementLibrary};

use super::athletes::position;
use super::dated::History;
use crate::error::Report;
use crate::file::Text;
use crate::file::csv::rows;
use crate::file::quantity::{date, mass};

/// The columns of `bests.csv`; the last may be missing.
pub(crate) const BESTS: [&str; 5] = ["athlete", "movement", "load", "how", "since"];

/// How the maximum was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Tested,
    Estimated(u32, Equation),
}

/// Adds the bests to those of the athletes who have them.
pub(super) fn read(
    file: &Text,
    library: &MovementLibrary,
    athletes: &[Athlete],
    history: &mut History,
    report: &Report,
) {
    let mut seen: BTreeSet<(usize, MovementIx, Option<Date>)> = BTreeSet::new();
    let found = rows(file, report, &BESTS, &BESTS[4..], |row| {
        let athlete = row.need("athlete", |id| position(id, athletes));
        let movement = row.need("movement", |name| movement_named(name, library));
        let load = row.need("load", mass);
        let how = row.need("how", how);
        let since = row.maybe("since", date);
        let (athlete, movement) = (athlete?, movement?);
        if !seen.insert((athlete, movement, since)) {
            let of_that_day = if since.is_some() { " of that day" } else { "" };
            let problem = format!("this athlete has a best for it{of_that_day} already; keep the one that counts");
            row.wrong("movement", problem);
        }
        let (load, tested) = match how? {
            How::Tested => (load?, true),
            How::Estimated(reps, equation) => match equation.best(load?.kg(), reps) {
                Ok(kg) => (Mass::from_kg(kg), false),
                Err(refused) => {
                    row.wrong("load", refused.to_string());
                    return None;
                }
            },
        };
        Some((athlete, since, Best { movement, load, tested }))
    });
    for (at, since, best) in found {
        history.add_best(at, since, best);
    }
}

/// The movement of a name or id, or a refusal that proposes the nearest.
fn movement_named(name: &str, library: &MovementLibrary) -> Result<MovementIx, String> {
    library.named(name).ok_or_else(|| match library.nearest_name(name) {
        Some(near) => format!("is `{name}`, no movement of the library; did you mean `{near}`?"),
        None => format!("is `{name}`, no movement of the library; write its name or id"),
    })
}

fn how(text: &str) -> Result<How, String> {
    let estimated = || {
        let (reps, equation) = text.split_once(" reps by ")?;
        let reps = reps.parse().ok().filter(|reps| (2..=ADVISED_REPS).contains(reps))?;
        let equation = Equation::ALL.into_iter().find(|known| known.id() == equation)?;
        Some(How::Estimated(reps, equation))
    };
    let read = if text == "tested" { Some(How::Tested) } else { estimated() };
    let ids = || Equation::ALL.map(Equation::id).join(", ");
    read.ok_or_else(|| {
        format!("is `{text}`; write tested, or such as 3 reps by epley (2 to {ADVISED_REPS} reps; by {})", ids())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_repetition_is_no_estimate_and_eleven_are_too_many() {
        assert_eq!(how("tested"), Ok(How::Tested));
        assert_eq!(how("10 reps by epley"), Ok(How::Estimated(10, Equation::Epley)));
        for bad in ["1 reps by epley", "11 reps by epley", "3 reps", "3 reps by guess", "Tested", ""] {
            assert!(how(bad).is_err(), "{bad}");
        }
    }
}
