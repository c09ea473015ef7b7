//! Rests that would be too long: what comes before them is put off.

use crate::course::Course;
use crate::crew::Crews;
use crate::model::NEVER;

impl Course<'_> {
    /// Where a rest before the start at this place would be too long: the stages before it have to start later, after
    /// those that can go first. Gives the place to go on from; none where they have started.
    pub(super) fn put_off(&mut self, crews: &Crews, at: usize, start: u32) -> Option<usize> {
        let model = self.model;
        self.put_off.clear();
        self.put_off.push((self.order[at], start));
        let mut next = 0;
        while let Some(&(cell, start)) = self.put_off.get(next) {
            next += 1;
            let heat = cell as usize / model.stages;
            for &(stage, _, most) in &crews.nodes[cell as usize].rests {
                let before = heat * model.stages + stage as usize;
                let second = start.saturating_sub(most);
                if most != NEVER && self.starts[before] < second {
                    if self.is_done(before) {
                        return None;
                    }
                    self.not_before[before] = self.not_before[before].max(second);
                    self.put_off.push((before as u32, second));
                }
            }
        }
        let mut first = at;
        // The later stages make room for the earlier ones.
        for place in (0..at).rev() {
            let cell = self.order[place];
            if !self.put_off[1..].iter().any(|put_off| put_off.0 == cell) {
                continue;
            }
            first = place;
            let (heat, second) = (cell as usize / model.stages, self.not_before[cell as usize]);
            let mut to = place;
            while to + 1 < at {
                let next = self.order[to + 1] as usize;
                let skips = crews.nodes[next].bouts.is_empty() || self.is_done(next);
                if next / model.stages == heat || (!skips && self.starts[next] >= second) {
                    break;
                }
                to += 1;
            }
            self.order[place..=to].rotate_left(1);
        }
        Some(first)
    }
}
