//! What each unit asks of what there is, and what can run short at all.

use std::collections::BTreeMap;

use classwright_sdk::NONE;

use crate::model::{Athlete, Bout, Model};

impl Model {
    /// What each unit asks of each stage, and which stages follow which.
    pub(crate) fn count_demand(&mut self) {
        let (things, kinds) = (self.things.len(), self.bars_of.len());
        self.width = things + kinds + self.plates.len();
        self.there = self.things.iter().map(|t| t.there).collect();
        self.there.extend(self.bars_of.iter().map(|b| b.len() as u32));
        self.there.extend(self.plates.iter().map(|p| p.there));
        self.any_taken = self.things.iter().any(|t| t.taken.most(0, NONE) > 0);
        self.give_places();
        self.any_bars = self.bouts.iter().any(|b| b.bar.is_some());
        self.limited_rests = self.bouts.iter().any(|b| b.lag_most.is_some());
        self.ordered = vec![false; self.stages * self.stages];
        for unit in &self.units {
            let mut demand: BTreeMap<u32, u32> = BTreeMap::new();
            for athlete in &unit.athletes {
                let bouts = self.athletes[*athlete].bouts.clone();
                for at in bouts.clone() {
                    let bout = &self.bouts[at];
                    if at > bouts.start {
                        self.ordered[self.bouts[at - 1].stage * self.stages + bout.stage] = true;
                    }
                    if bout.done.is_some() {
                        continue;
                    }
                    let mut add = |what: usize, amount: u32| {
                        *demand.entry((bout.stage * self.width + what) as u32).or_default() += amount;
                    };
                    if bout.length > 0 {
                        bout.uses.iter().for_each(|(thing, amount)| add(*thing, *amount));
                    }
                    if let Some(need) = bout.bar {
                        add(things + need.kind, 1);
                        for &(size, pairs) in &self.plates_on[need.loading] {
                            add(things + kinds + size, pairs);
                        }
                    }
                }
            }
            self.demand.push(demand.into_iter().collect());
        }
        for middle in 0..self.stages {
            for from in 0..self.stages {
                for to in 0..self.stages {
                    let by = self.ordered[from * self.stages + middle] && self.ordered[middle * self.stages + to];
                    self.ordered[from * self.stages + to] |= by;
                }
            }
        }
    }

    /// Places for each thing that can run short: not where everybody can have it at once, nor where those whom the coach
    /// can watch can.
    fn give_places(&mut self) {
        let coach = self.things.first().map_or(0, |coach| coach.there);
        let of =
            |bout: &Bout, thing: usize| bout.uses.iter().filter(|used| used.0 == thing).map(|used| used.1).sum::<u32>();
        let mut next = 0;
        for thing in 0..self.things.len() {
            let it = &self.things[thing];
            let most_of = |athlete: &Athlete| self.bouts[athlete.bouts.clone()].iter().map(|b| of(b, thing)).max();
            let all: u64 = self.athletes.iter().filter_map(most_of).map(u64::from).sum();
            let watched = thing > 0 && it.there >= coach && self.bouts.iter().all(|b| of(b, thing) <= of(b, 0));
            let enough = u64::from(it.there) >= all || watched;
            let places = if enough && it.taken.most(0, NONE) == 0 { 0 } else { u64::from(it.there).min(all) as usize };
            self.place_of.push(next..next + places);
            next += places;
        }
        for bout in self.bouts.iter_mut().filter(|bout| bout.length > 0) {
            let scarce = bout.uses.iter().filter(|used| !self.place_of[used.0].is_empty());
            bout.scarce_uses = scarce.map(|(thing, amount)| (*thing as u32, *amount)).collect();
        }
    }
}
