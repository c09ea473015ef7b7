//! The movements that one question is about, read once in a few calls.
//!
//! Holds facts, demands, kit, patterns and easier links of the class's movements and of every movement that could
//! stand in for one of them (a shared pattern, or an easier link up to four steps away). Nothing is read twice.

use crate::NONE;
use crate::library::{Fact, Library, Link, Need, Tables};
use crate::wire::common::classwright::policy::cards::Question;

/// How many easier links are followed from a written movement.
const EASIER_STEPS: usize = 4;

/// Movements read from a library, by number.
#[derive(Debug)]
pub struct Catalogue {
    tables: Tables,
    /// Where each movement of the library stands in the lists below; [`NONE`] for one that was not read.
    places: Vec<u32>,
    facts: Vec<Fact>,
    demands: Vec<u8>,
    needs: Vec<Need>,
    patterns: Vec<Link>,
    easier: Vec<Link>,
    /// Where the rows of each movement start in `needs`, `patterns` and `easier`; one more for the end.
    starts: Vec<[u32; 3]>,
    by_pattern: Vec<(u32, Vec<u32>)>,
}

/// One movement of a catalogue.
#[derive(Clone, Copy, Debug)]
pub struct Known<'c> {
    /// Library number.
    pub number: u32,
    /// Numbers of it.
    pub fact: Fact,
    /// Demand 0 to 3 on each region, in the order of the library's table.
    pub demand: &'c [u8],
    /// Kit one person needs.
    pub needs: &'c [Need],
    /// Its patterns: `to` is a position in the library's table. The main one is [`Fact::pattern`].
    pub patterns: &'c [Link],
    /// Easier movements: `to` is a library number.
    pub easier: &'c [Link],
}

impl Catalogue {
    /// Reads what a question is about.
    pub fn read(library: &dyn Library, question: &Question) -> Catalogue {
        let mut movements: Vec<u32> = question.pieces.iter().map(|piece| piece.movement).collect();
        tidy(&mut movements);
        let mut patterns: Vec<u32> = library.patterns_of(&movements).iter().map(|link| link.to).collect();
        tidy(&mut patterns);
        let mut frontier = movements.clone();
        for _ in 0..EASIER_STEPS {
            frontier = library.easier(&frontier).iter().map(|link| link.to).collect();
            tidy(&mut frontier);
            frontier.retain(|movement| movements.binary_search(movement).is_err());
            if frontier.is_empty() {
                break;
            }
            movements.extend(&frontier);
            tidy(&mut movements);
        }
        let by_pattern: Vec<(u32, Vec<u32>)> =
            patterns.into_iter().map(|pattern| (pattern, library.with_pattern(pattern))).collect();
        movements.extend(by_pattern.iter().flat_map(|(_, within)| within));
        tidy(&mut movements);
        Catalogue::of(library, movements, by_pattern)
    }

    fn of(library: &dyn Library, movements: Vec<u32>, by_pattern: Vec<(u32, Vec<u32>)>) -> Catalogue {
        let (mut needs, mut patterns, mut easier) =
            (library.needs(&movements), library.patterns_of(&movements), library.easier(&movements));
        // Stable: the order within a movement stays the library's.
        needs.sort_by_key(|row| row.movement);
        patterns.sort_by_key(|row| row.movement);
        easier.sort_by_key(|row| row.movement);
        let start = |movement: u32| {
            [
                needs.partition_point(|row| row.movement < movement) as u32,
                patterns.partition_point(|row| row.movement < movement) as u32,
                easier.partition_point(|row| row.movement < movement) as u32,
            ]
        };
        let end = [needs.len() as u32, patterns.len() as u32, easier.len() as u32];
        let mut places = vec![NONE; movements.last().map_or(0, |last| *last as usize + 1)];
        for (&movement, place) in movements.iter().zip(0..) {
            places[movement as usize] = place;
        }
        Catalogue {
            tables: library.tables(),
            facts: library.facts(&movements),
            demands: library.demands(&movements),
            starts: movements.iter().map(|&movement| start(movement)).chain([end]).collect(),
            places,
            needs,
            patterns,
            easier,
            by_pattern,
        }
    }

    /// The library's tables of names.
    pub fn tables(&self) -> &Tables {
        &self.tables
    }

    /// A movement, if it was read: all of the question are.
    #[inline]
    pub fn get(&self, movement: u32) -> Option<Known<'_>> {
        let at = *self.places.get(movement as usize).filter(|at| **at != NONE)? as usize;
        let ([needs, patterns, easier], next) = (self.starts[at], self.starts[at + 1]);
        let regions = self.tables.regions.len();
        Some(Known {
            number: movement,
            fact: self.facts[at],
            demand: &self.demands[at * regions..(at + 1) * regions],
            needs: &self.needs[needs as usize..next[0] as usize],
            patterns: &self.patterns[patterns as usize..next[1] as usize],
            easier: &self.easier[easier as usize..next[2] as usize],
        })
    }

    /// The movements of a pattern that a movement of the question has, in number order; none for other patterns.
    pub fn with_pattern(&self, pattern: u32) -> &[u32] {
        match self.by_pattern.binary_search_by_key(&pattern, |(pattern, _)| *pattern) {
            Ok(at) => &self.by_pattern[at].1,
            Err(_) => &[],
        }
    }

    /// The id of a load kind, for example `bar`.
    pub fn load_kind(&self, fact: &Fact) -> &str {
        self.tables.load_kinds.get(fact.load_kind as usize).map_or("", String::as_str)
    }
}

/// Sorted, each once.
fn tidy(list: &mut Vec<u32>) {
    list.sort_unstable();
    list.dedup();
}
