//! Who stays together in a class and who does not: `together` and `apart`, lists of pairs.

use classwright_training::{Athlete, AthleteIx};

use super::athletes;
use crate::file::toml::{Spot, Table, list, parsed};

/// Pairs of people of a class.
#[derive(Default)]
pub(super) struct Company {
    /// In one heat.
    pub(super) together: Vec<(AthleteIx, AthleteIx)>,
    /// Not in one heat.
    pub(super) apart: Vec<(AthleteIx, AthleteIx)>,
}

/// Reads both lists. A pair is two different people who come to the class, and stands in one of the two lists.
pub(super) fn read(table: &mut Table<'_>, athletes: &[Athlete], present: &[AthleteIx]) -> Company {
    let (together_spot, apart_spot) = (table.spot("together"), table.spot("apart"));
    let id = |id: &str| athletes::position(id, athletes);
    let together = table.maybe("together", list(list(parsed(id)))).unwrap_or_default();
    let apart = table.maybe("apart", list(list(parsed(id)))).unwrap_or_default();
    let pairs = |rows: &[Vec<usize>], spot: &Spot<'_>| pairs(rows, spot, athletes, present);
    let company = Company { together: pairs(&together, &together_spot), apart: pairs(&apart, &apart_spot) };
    for (n, &(a, b)) in (1..).zip(&company.apart) {
        if company.together.iter().any(|&pair| pair == (a, b) || pair == (b, a)) {
            let name = |ix: AthleteIx| &athletes[ix.0 as usize].id;
            let (a, b) = (name(a), name(b));
            apart_spot.wrong(format!("entry {n} is {a} and {b}, who are also in together; keep one of the two"));
        }
    }
    company
}

fn pairs(
    rows: &[Vec<usize>],
    spot: &Spot<'_>,
    athletes: &[Athlete],
    present: &[AthleteIx],
) -> Vec<(AthleteIx, AthleteIx)> {
    let mut pairs = Vec::new();
    for (n, row) in (1..).zip(rows) {
        match row[..] {
            [a, b] if a == b => {
                spot.wrong(format!("entry {n} is {} twice; write two people", athletes[a].id));
            }
            [a, b] => {
                let (a, b) = (AthleteIx(a as u32), AthleteIx(b as u32));
                for ix in [a, b].iter().filter(|ix| !present.contains(ix)) {
                    let id = &athletes[ix.0 as usize].id;
                    spot.wrong(format!("entry {n} names {id}, who does not come to this class; take the pair out"));
                }
                pairs.push((a, b));
            }
            _ => spot.wrong(format!("entry {n} has {} ids; write pairs such as [\"ann\", \"bo\"]", row.len())),
        }
    }
    pairs
}
