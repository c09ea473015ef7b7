//! The earliest starts of one heat whose bars are handed out: rests and changes of plates as a web of least distances.
//!
//! Promises: no start is earlier than it has to be, and what has happened stays. `None` means that with these bars the
//! rests leave no starts at all. Other heats' work is not looked at; whoever asks checks the whole.

use std::collections::BTreeMap;

use classwright_training::floor::Floor;
use classwright_training::floor::Layout;

use super::bars::{frozen, start_s};
use super::causes::bout_indexes;
use super::place::Stand;

/// One way to run a heat.
#[derive(Clone, Copy)]
pub(super) struct Way<'a> {
    /// The bar of each bout of the floor.
    pub(super) bars: &'a [Option<u32>],
    /// No start is earlier.
    pub(super) from: u32,
    /// No change of plates on a bar that comes from somebody else begins earlier.
    pub(super) changes_from: u32,
    /// Whether a stage waits for all of the one before.
    pub(super) whole_stages: bool,
    /// The plan with which the heat goes on: nothing is earlier than it says.
    pub(super) present: Option<&'a Layout>,
}

/// The starts by stage; `fixed` are those that stay.
pub(super) fn starts(
    floor: &Floor,
    fixed: &[Option<u32>],
    members: &[u32],
    stands: &[Stand],
    way: &Way<'_>,
) -> Option<Vec<Option<u32>>> {
    let mut web = Web {
        step: i64::from(floor.start_step_s.max(1)),
        fixed,
        at: fixed.iter().map(|start| start.map(i64::from)).collect(),
        arcs: Vec::new(),
    };
    rests(floor, &mut web, members, way);
    changes(floor, &mut web, members, stands, way)?;
    if way.whole_stages {
        let mut longest: BTreeMap<u32, u32> = BTreeMap::new();
        for bout in members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)).map(|bout| &floor.bouts[bout]) {
            let most = longest.entry(bout.stage).or_default();
            *most = bout.duration_s.max(*most);
        }
        let rows: Vec<(u32, u32)> = longest.into_iter().collect();
        let waits = rows.windows(2).filter(|pair| fixed[pair[1].0 as usize].is_none());
        web.arcs.extend(waits.map(|pair| (pair[0].0, pair[1].0, i64::from(pair[0].1))));
    }
    web.settle()
}

/// Least distances between the stages of a heat.
struct Web<'a> {
    step: i64,
    fixed: &'a [Option<u32>],
    at: Vec<Option<i64>>,
    /// From a stage to another, at least so many seconds; negative where the other may be earlier.
    arcs: Vec<(u32, u32, i64)>,
}

impl Web<'_> {
    fn on_step(&self, second: i64) -> i64 {
        second + (-second).rem_euclid(self.step)
    }

    fn no_earlier(&mut self, stage: u32, second: i64) {
        let second = self.on_step(second);
        if self.fixed[stage as usize].is_none() {
            let at = &mut self.at[stage as usize];
            *at = (*at).max(Some(second));
        }
    }

    fn settle(mut self) -> Option<Vec<Option<u32>>> {
        // Where starts still move after so many rounds, the distances go round in a circle.
        for _ in 0..=self.at.len() + 1 {
            let mut moved = false;
            for &(from, to, least) in &self.arcs {
                let (from, to) = (from as usize, to as usize);
                let second = self.at[from]? + least;
                match self.fixed[to] {
                    Some(start) if i64::from(start) < second => return None,
                    Some(_) => {}
                    None => {
                        let second = self.on_step(second);
                        moved |= self.at[to]? < second;
                        self.at[to] = self.at[to].max(Some(second));
                    }
                }
            }
            if !moved {
                let told = |start: Option<i64>| {
                    start.map(|second| u32::try_from(second).ok()).map_or(Some(None), |s| s.map(Some))
                };
                return self.at.into_iter().map(told).collect();
            }
        }
        None
    }
}

fn rests(floor: &Floor, web: &mut Web<'_>, members: &[u32], way: &Way<'_>) {
    let from = i64::from(way.from.max(floor.now_s));
    for &athlete in members {
        let ready = i64::from(floor.athletes[athlete as usize].ready_s);
        for (turn, index) in bout_indexes(floor, athlete).enumerate() {
            let bout = &floor.bouts[index];
            web.no_earlier(bout.stage, from.max(ready));
            if let Some(start) = way.present.and_then(|present| start_s(floor, present, index)) {
                web.no_earlier(bout.stage, i64::from(start));
            }
            if turn == 0 || frozen(floor, index).is_some() {
                continue;
            }
            let before = &floor.bouts[index - 1];
            let work = i64::from(before.duration_s);
            web.arcs.push((before.stage, bout.stage, work + i64::from(before.rest_least_s)));
            if let Some(most) = before.rest_most_s {
                web.arcs.push((bout.stage, before.stage, -(work + i64::from(most))));
            }
        }
    }
}

/// Time for each change of plates; `None` where a bout has no bar.
fn changes(floor: &Floor, web: &mut Web<'_>, members: &[u32], stands: &[Stand], way: &Way<'_>) -> Option<()> {
    let mut uses: BTreeMap<u32, Vec<(u32, usize, u32)>> = BTreeMap::new();
    for index in members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)) {
        if let Some((_, needed)) = floor.bouts[index].bar {
            uses.entry(way.bars[index]?).or_default().push((floor.bouts[index].stage, index, needed));
        }
    }
    for (bar, mut uses) in uses {
        uses.sort_unstable();
        let stand = &stands[bar as usize];
        let mut before: Option<(u32, u32)> = None;
        let mut on_it = stand.loading;
        for (stage, index, needed) in uses {
            let change = i64::from(floor.setup_s(on_it, needed));
            match before {
                _ if frozen(floor, index).is_some() => {}
                Some((earlier, work)) => web.arcs.push((earlier, stage, i64::from(work) + change)),
                // A heat that goes on as it was shares its bars with other heats as it did.
                None if way.present.is_some() => {}
                None => web.no_earlier(stage, i64::from(stand.free_s.max(way.changes_from)) + change),
            }
            (before, on_it) = (Some((stage, floor.bouts[index].duration_s)), needed);
        }
    }
    Some(())
}
