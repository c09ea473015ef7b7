//! What changing plates costs at least, whatever the order.
//!
//! Plates go on one after the other, so loadings are a tree: a way from the empty sleeve to each, its steps shared with
//! those that begin alike. The bars of a kind walk on that tree, one step a pair of plates, and have to come to each
//! loading that is asked for. A step that no bar stands beyond is gone down at least once, and up again unless a bar
//! ends beyond it; so all steps twice, less the longest ways down for as many bars as there are, is a bound.

use crate::model::Model;

/// The steps from the empty sleeve to each loading, a bit each; none where there are more kinds of step than bits.
pub(crate) fn ways(model: &Model) -> Option<Vec<u128>> {
    let mut steps: Vec<&[u32]> = Vec::new();
    let mut ways = Vec::with_capacity(model.loadings.len());
    for loading in &model.loadings {
        let mut way = 0u128;
        for length in 1..=loading.len() {
            let step = &loading[..length];
            let at = steps.iter().position(|s| *s == step).unwrap_or_else(|| {
                steps.push(step);
                steps.len() - 1
            });
            if at >= 128 {
                return None;
            }
            way |= 1 << at;
        }
        ways.push(way);
    }
    Some(ways)
}

/// More bars of a kind than this end anywhere: the longest ways of all are counted.
const MOST_ENDS: usize = 64;

/// Counts the steps to more and more loadings.
#[derive(Clone, Debug)]
pub(crate) struct StepCount {
    steps: u128,
    /// Steps that need no going down: a bar stands beyond them.
    covered: u128,
    /// Lengths of the longest ways, as many as there are bars.
    ends: [u8; MOST_ENDS],
    bars: usize,
    longest: u32,
}

impl StepCount {
    pub(crate) fn new(covered: u128, bars: usize) -> Self {
        StepCount { steps: 0, covered, ends: [0; MOST_ENDS], bars: bars.min(MOST_ENDS), longest: 0 }
    }

    /// One more loading that some bar has to come to.
    pub(crate) fn add(&mut self, way: u128) {
        let new = way & !self.covered;
        self.steps |= new;
        let length = new.count_ones() as u8;
        let ends = &mut self.ends[..self.bars];
        if let Some(shortest) = ends.iter_mut().min()
            && *shortest < length
        {
            self.longest += u32::from(length - *shortest);
            *shortest = length;
        }
    }

    /// Pairs moved at least.
    pub(crate) fn moves(&self) -> u32 {
        let down = self.steps.count_ones();
        down + down.saturating_sub(self.longest)
    }

    /// Pairs moved at least between the first and the last of these loadings on each bar, wherever bars begin.
    pub(crate) fn moves_between(&self) -> u32 {
        (2 * self.steps.count_ones()).saturating_sub(2 * self.longest)
    }
}
