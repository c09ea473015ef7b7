//! The last touches: no more heats than it takes, and starts as early as they can be.

use crate::crew::Crews;
use crate::model::NEVER;
use crate::search::{Aim, Best, Search, Stand, Stretch};

impl Search<'_> {
    /// Makes one heat of two wherever the plan is no worse for it. A walk that moves one after the other seldom gets
    /// there, since until the last of them has moved nothing is gained.
    pub(crate) fn join_heats(&mut self, until: u64) {
        let slots = self.model.slots;
        let mut pairs = (0..slots).flat_map(|into| (0..slots).map(move |from| (into, from)));
        while let Some((into, from)) = pairs.find(|(into, from)| into != from) {
            let Some(best) = self.best.as_ref().filter(|_| self.course.work < until) else { return };
            if !best.heat_of.contains(&into) || !best.heat_of.contains(&from) {
                continue;
            }
            let joined = |heat: &usize| if *heat == from { into } else { *heat };
            let heat_of: Vec<usize> = best.heat_of.iter().map(joined).collect();
            let (order, finish) = (best.order.clone(), best.worth.finish);
            let mut crews = Crews::of(self.model, &heat_of);
            self.course.work += self.model.bouts.len() as u64;
            if crews.heat_of == heat_of && crews.build(self.model, into) {
                self.course.forget_wishes();
                self.look(&crews, &order, Stretch { mend: true, ..Stretch::WHOLE }, finish);
            }
        }
    }

    /// Begins what can begin sooner, without making anything worse: the end is not all that people see of a plan.
    pub(crate) fn tidy(&mut self, until: u64) {
        let Some(Stand { heat_of, mut order, .. }) = self.best_place(Aim::Neat) else { return };
        let crews = Crews::of(self.model, &heat_of);
        let whole = Stretch { mend: true, ..Stretch::WHOLE };
        let Some((worth, _)) = self.look(&crews, &order, whole, NEVER) else { return };
        if self.best.as_ref().is_none_or(|best| worth > best.worth) {
            return;
        }
        order.clone_from(&self.course.order);
        self.course.keep(&crews, 0);
        let mut waits = self.course.waits(&crews);
        let mut next = order.clone();
        let mut place = 0;
        // Round and round until nothing has moved for a whole round.
        let mut still = 0;
        while still < order.len() && self.course.work < until {
            place = (place + 1) % order.len();
            still += 1;
            self.course.work += 1;
            for reach in [order.len(), 6, 2, 1] {
                next.clone_from(&order);
                let to = self.shift(&mut next, place, reach, true);
                if to == place || crews.nodes[order[place] as usize].bouts.is_empty() {
                    break;
                }
                let heat = [order[place] as usize / self.model.stages];
                let part = Stretch { from: to, touched: Some(&heat), mend: false };
                let Some((there, found)) = self.look(&crews, &next, part, worth.finish) else { continue };
                let now = self.course.waits(&crews);
                if found.over == 0 && there <= worth && now < waits {
                    (waits, still) = (now, 0);
                    order.clone_from(&self.course.order);
                    self.course.keep(&crews, to);
                    self.best = Some(Best {
                        worth: there,
                        heat_of: heat_of.clone(),
                        starts: self.course.starts.clone(),
                        bars: self.course.bars.clone(),
                        order: order.clone(),
                    });
                    break;
                }
            }
        }
    }
}
