//! Who starts together, and what they need: each heat at each stage as the sequence asks for it.

use crate::model::Model;

/// A heat at a stage: everything that starts on one call.
#[derive(Clone, Debug, Default)]
pub(crate) struct Node {
    pub(crate) bouts: Vec<u32>,
    /// What is asked of each thing at the start.
    pub(crate) needs: Vec<(u32, u32)>,
    /// When it is given back: thing, seconds after the start, how many; in this order.
    pub(crate) ends: Vec<(u32, u32, u32)>,
    /// Bouts with a bar, by kind.
    pub(crate) bars: Vec<BarBout>,
    pub(crate) longest: u32,
    /// No start before.
    pub(crate) ready: u32,
    /// Seconds from its start to the end of the heat's work, at least.
    pub(crate) tail: u32,
    /// Rests counted from earlier stages: stage, least and most seconds from start to start.
    pub(crate) rests: Vec<(u32, u32, u32)>,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct BarBout {
    pub(crate) kind: u32,
    pub(crate) bout: u32,
    pub(crate) loading: u32,
    pub(crate) length: u32,
}

/// The heats as they are filled.
#[derive(Clone, Debug)]
pub(crate) struct Crews {
    pub(crate) heat_of: Vec<usize>,
    pub(crate) members: Vec<Vec<u32>>,
    pub(crate) nodes: Vec<Node>,
    /// Demand by heat, stage and thing, bar kind or plate size; never more than there is.
    sums: Vec<u32>,
    longest_path: Vec<i64>,
}

impl Crews {
    pub(crate) fn new(model: &Model) -> Self {
        Crews {
            heat_of: vec![usize::MAX; model.units.len()],
            members: vec![Vec::new(); model.slots],
            nodes: vec![Node::default(); model.slots * model.stages],
            sums: vec![0; model.slots * model.stages * model.width],
            longest_path: vec![0; model.stages],
        }
    }

    /// Heats filled so.
    pub(crate) fn of(model: &Model, heat_of: &[usize]) -> Self {
        let mut crews = Crews::new(model);
        for (unit, heat) in heat_of.iter().enumerate() {
            crews.join(model, unit, *heat);
        }
        (0..model.slots).for_each(|heat| {
            crews.build(model, heat);
        });
        crews
    }

    pub(crate) fn used(&self) -> usize {
        self.members.iter().filter(|m| !m.is_empty()).count()
    }

    /// Puts a unit into a heat if there is room for it; the heat's nodes have to be built anew then.
    pub(crate) fn join(&mut self, model: &Model, unit: usize, heat: usize) -> bool {
        if model.apart[unit].iter().any(|other| self.heat_of[*other] == heat) {
            return false;
        }
        let row = heat * model.stages * model.width;
        for &(at, amount) in &model.demand[unit] {
            let at = at as usize;
            if self.sums[row + at] + amount > model.there[at % model.width] {
                return false;
            }
        }
        if model.replan && model.units[unit].begun != Some(heat) {
            // What has started stays: they join only where they started what the heat has started, at the same seconds.
            let bouts = model.units[unit]
                .athletes
                .iter()
                .flat_map(|athlete| &model.bouts[model.athletes[*athlete].bouts.clone()]);
            let fits = |bout: &crate::model::Bout| model.done[heat][bout.stage] == bout.done.map(|done| done.0);
            if !bouts.into_iter().all(fits) {
                return false;
            }
        }
        for &(at, amount) in &model.demand[unit] {
            self.sums[row + at as usize] += amount;
        }
        self.heat_of[unit] = heat;
        self.members[heat].push(unit as u32);
        true
    }

    pub(crate) fn leave(&mut self, model: &Model, unit: usize) -> usize {
        let heat = self.heat_of[unit];
        let row = heat * model.stages * model.width;
        for &(at, amount) in &model.demand[unit] {
            self.sums[row + at as usize] -= amount;
        }
        self.heat_of[unit] = usize::MAX;
        let at = self.members[heat].iter().position(|m| *m == unit as u32).expect("it is a member");
        self.members[heat].swap_remove(at);
        heat
    }

    /// Works out what a heat needs at each stage; false where its rests cannot be kept together.
    pub(crate) fn build(&mut self, model: &Model, heat: usize) -> bool {
        let nodes = &mut self.nodes[heat * model.stages..][..model.stages];
        for node in nodes.iter_mut() {
            node.bouts.clear();
            node.needs.clear();
            node.ends.clear();
            node.bars.clear();
            node.rests.clear();
            (node.longest, node.ready, node.tail) = (0, 0, 0);
        }
        let mut agree = true;
        for &unit in &self.members[heat] {
            for &athlete in &model.units[unit as usize].athletes {
                let it = &model.athletes[athlete];
                for index in it.bouts.clone() {
                    let bout = &model.bouts[index];
                    let node = &mut nodes[bout.stage];
                    node.bouts.push(index as u32);
                    node.longest = node.longest.max(bout.length);
                    node.ready = node.ready.max(it.ready);
                    for &(thing, amount) in &bout.scarce_uses {
                        match node.needs.iter_mut().find(|n| n.0 == thing) {
                            Some(need) => need.1 += amount,
                            None => node.needs.push((thing, amount)),
                        }
                        let at = node.ends.partition_point(|end| (end.0, end.1) < (thing, bout.length));
                        match node.ends.get_mut(at) {
                            Some(end) if (end.0, end.1) == (thing, bout.length) => end.2 += amount,
                            _ => node.ends.insert(at, (thing, bout.length, amount)),
                        }
                    }
                    if let Some(need) = bout.bar {
                        let one = BarBout {
                            kind: need.kind as u32,
                            bout: index as u32,
                            loading: need.loading as u32,
                            length: bout.length,
                        };
                        let at = node.bars.partition_point(|b| b.kind <= one.kind);
                        node.bars.insert(at, one);
                    }
                    if index > it.bouts.start {
                        let before = &model.bouts[index - 1];
                        let most = before.lag_most.unwrap_or(u32::MAX);
                        let stage = before.stage as u32;
                        match node.rests.iter_mut().find(|r| r.0 == stage) {
                            Some(rest) => {
                                rest.1 = rest.1.max(before.lag);
                                rest.2 = rest.2.min(most);
                            }
                            None => node.rests.push((stage, before.lag, most)),
                        }
                    }
                }
            }
        }
        for stage in (0..model.stages).rev() {
            let mut tail = nodes[stage].longest;
            for later in &nodes[stage + 1..] {
                for rest in later.rests.iter().filter(|r| r.0 == stage as u32) {
                    tail = tail.max(rest.1 + later.tail);
                }
            }
            nodes[stage].tail = tail;
        }
        if model.limited_rests {
            agree = self.agree(model, heat);
        }
        agree
    }

    /// Whether starts exist that keep the least and most rests: no circle of them has a gain.
    fn agree(&mut self, model: &Model, heat: usize) -> bool {
        let nodes = &self.nodes[heat * model.stages..][..model.stages];
        let at = &mut self.longest_path;
        at.fill(0);
        for _ in 0..=model.stages {
            let mut moved = false;
            for (stage, node) in nodes.iter().enumerate() {
                for &(from, least, most) in &node.rests {
                    let from = from as usize;
                    let done = model.done[heat][stage].is_some();
                    if !done && at[stage] < at[from] + i64::from(least) {
                        at[stage] = at[from] + i64::from(least);
                        moved = true;
                    }
                    if !done && most != u32::MAX && at[from] < at[stage] - i64::from(most) {
                        at[from] = at[stage] - i64::from(most);
                        moved = true;
                    }
                }
            }
            if !moved {
                return true;
            }
        }
        false
    }
}
