//! What load the movement that stands in gets.
//!
//! Never more than was written, on the first time or the heaviest, and none where none was known. A load is that of
//! a named ratio, then of the heaviest implement at the place that is not above it.

use crate::excerpt::Carrier;

/// Load on the first time and on the heaviest, grams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Loads {
    pub(crate) first: u32,
    pub(crate) top: u32,
}

/// A written load and what carries it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Written {
    pub(crate) loads: Loads,
    pub(crate) carrier: Carrier,
}

impl Written {
    /// True where a mass was written; a figure on a machine or a band is none.
    pub(crate) fn is_loaded(self) -> bool {
        self.loads.top > 0 && self.carrier.implements() > 0
    }
}

/// The loads for another carrier. `permille` is the named ratio, if there is one; `masses` those of the implement
/// at the place, lightest first (for a bar: of bars), empty where it has no fixed mass.
/// `None` where the other carrier cannot take the load's place.
pub(crate) fn carried_over(written: Written, to: Carrier, permille: Option<u32>, masses: &[u32]) -> Option<Loads> {
    let unloaded = Loads { first: 0, top: 0 };
    if !written.is_loaded() {
        // No load may appear where there was a body, a band or a machine.
        let adds_load = to.is_implement() && !written.carrier.is_implement();
        return (!adds_load).then_some(unloaded);
    }
    match (to, permille) {
        (Carrier::Bar | Carrier::Pair | Carrier::Single, None) => None,
        (Carrier::Pair | Carrier::Single, Some(_)) if masses.is_empty() => Some(unloaded),
        (Carrier::Bar | Carrier::Pair | Carrier::Single | Carrier::Added, Some(permille)) => {
            let carry = |grams| one_load(grams, written.carrier, to, permille, masses);
            Some(Loads { first: carry(written.loads.first)?, top: carry(written.loads.top)? })
        }
        _ => Some(unloaded),
    }
}

fn one_load(grams: u32, from: Carrier, to: Carrier, permille: u32, masses: &[u32]) -> Option<u32> {
    let wanted = (u64::from(grams) * u64::from(permille.min(1000)) / 1000) as u32;
    if grams == 0 {
        return Some(0);
    }
    let Some(&lightest) = masses.first() else {
        return Some(wanted);
    };
    if wanted < lightest {
        // Nothing so light is here: the lightest will do only if all of it together is not above what was written.
        let not_above = u64::from(lightest) * to.implements() <= u64::from(grams) * from.implements();
        return (lightest <= grams && not_above).then_some(lightest);
    }
    match to {
        // Plates make any load above the bar; the host rounds to what they can make.
        Carrier::Bar => Some(wanted),
        _ => masses.iter().copied().rfind(|&mass| mass <= wanted),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(first: u32, top: u32, carrier: Carrier) -> Written {
        Written { loads: Loads { first, top }, carrier }
    }

    #[test]
    fn a_bar_becomes_the_heaviest_pair_not_above_its_ratio() {
        let loads =
            carried_over(written(40_000, 60_000, Carrier::Bar), Carrier::Pair, Some(350), &[5_000, 15_000, 22_500]);
        assert_eq!(loads, Some(Loads { first: 5_000, top: 15_000 }));
    }

    #[test]
    fn the_lightest_will_do_only_if_it_is_not_above_what_was_written() {
        let bar = written(20_000, 20_000, Carrier::Bar);
        assert_eq!(carried_over(bar, Carrier::Single, Some(400), &[16_000]).map(|l| l.top), Some(16_000));
        assert_eq!(carried_over(bar, Carrier::Single, Some(400), &[24_000]), None);
        assert_eq!(carried_over(bar, Carrier::Pair, Some(350), &[12_500]), None, "25 kg in two hands is above 20 kg");
    }

    #[test]
    fn no_load_appears_where_there_was_none() {
        assert_eq!(carried_over(written(0, 0, Carrier::Added), Carrier::Pair, Some(1000), &[10_000]), None);
        assert_eq!(carried_over(written(0, 0, Carrier::Machine), Carrier::Single, None, &[10_000]), None);
        let unknown = carried_over(written(0, 0, Carrier::Bar), Carrier::Pair, Some(350), &[10_000]);
        assert_eq!(unknown, Some(Loads { first: 0, top: 0 }));
    }

    #[test]
    fn a_load_without_a_named_ratio_has_no_stand_in_but_an_unloaded_one() {
        let added = written(10_000, 10_000, Carrier::Added);
        assert_eq!(carried_over(added, Carrier::Single, None, &[5_000]), None);
        assert_eq!(carried_over(added, Carrier::Band, None, &[]), Some(Loads { first: 0, top: 0 }));
    }
}
