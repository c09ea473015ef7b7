//! Looks for the heats and the order whose plan ends first, then has the fewest heats, then moves the fewest plates.
//!
//! A walk by small changes that takes a worse step the more seldom the worse it is and the longer it has walked
//! (Kirkpatrick, Gelatt, Vecchi 1983). Effort is counted in looks at a start or a bar; the same effort gives the same
//! plan. A rest that is too long is allowed on the way, at a price; a plan is what has none.

use crate::change::Change;
use crate::course::{Course, Found};
use crate::crew::Crews;
use crate::dice::Dice;
use crate::luck::{Kind, Luck};
use crate::model::{Model, NEVER};

/// What plans are compared by; less is better. `changed` counts only where there was a plan before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Worth {
    /// The finish, and what each person moved has to earn.
    pub(crate) price: u32,
    pub(crate) changed: u32,
    pub(crate) heats: u32,
    pub(crate) moves: u32,
    pub(crate) finish: u32,
}

/// The best plan found.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    pub(crate) worth: Worth,
    pub(crate) heat_of: Vec<usize>,
    /// By heat and stage; `NEVER` where nobody starts.
    pub(crate) starts: Vec<u32>,
    /// By bout; `NEVER` where none is used.
    pub(crate) bars: Vec<u32>,
    pub(crate) order: Vec<u32>,
}

/// Where a walk stands.
#[derive(Clone, Debug)]
pub(crate) struct Stand {
    pub(crate) guide: u64,
    pub(crate) heat_of: Vec<usize>,
    pub(crate) order: Vec<u32>,
}

/// What a walk is after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Aim {
    Finish,
    /// No later end, but fewer changes, heats and plates moved.
    Neat,
}

/// How far a walk goes: until so much work is done, or there is nothing left to find.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leash {
    pub(crate) until: u64,
    /// How much worse a step may be at first, in thousandths of the finish.
    pub(crate) warmth: u64,
    /// Nothing is better than this.
    pub(crate) least: Worth,
}

#[derive(Debug)]
pub(crate) struct Search<'m> {
    pub(crate) model: &'m Model,
    pub(crate) course: Course<'m>,
    pub(crate) dice: Dice,
    pub(crate) best: Option<Best>,
    /// Whether nobody goes to another heat.
    pub(crate) people_stay: bool,
    luck: Luck,
    seconds_a_person: u32,
}

/// Parts that a walk is cut into; it cools from one to the next, to a fortieth over all of them.
const PARTS: u64 = 64;
const COOLING: u64 = 61_867;

/// Seconds of finish that a second of too long a rest counts for.
const TOO_LONG: u64 = 2;

const SECOND: u64 = 1 << 12;

impl<'m> Search<'m> {
    pub(crate) fn new(model: &'m Model, seconds_a_person: u32) -> Self {
        Search {
            model,
            course: Course::new(model),
            dice: Dice::new(),
            best: None,
            people_stay: false,
            luck: Luck::new(model),
            seconds_a_person,
        }
    }

    /// Runs an order from a place on; the heats in `touched` forget what their rests asked for. `mend` moves starts
    /// until no rest is too long.
    pub(crate) fn look(
        &mut self,
        crews: &Crews,
        order: &[u32],
        part: Stretch<'_>,
        latest: u32,
    ) -> Option<(Worth, Found)> {
        let found = self.course.run(crews, order, part, latest)?;
        let worth = self.worth(crews, &found);
        let better = self.best.as_ref().is_none_or(|best| worth < best.worth);
        if found.over == 0 && better {
            self.best = Some(Best {
                worth,
                heat_of: crews.heat_of.clone(),
                starts: self.course.starts.clone(),
                bars: self.course.bars.clone(),
                order: self.course.order.clone(),
            });
        }
        Some((worth, found))
    }

    fn worth(&self, crews: &Crews, found: &Found) -> Worth {
        let model = self.model;
        let mut changed = 0;
        if model.replan {
            for (unit, &heat) in model.units.iter().zip(&crews.heat_of) {
                for &athlete in &unit.athletes {
                    let other_bar = |at: usize| {
                        let bout = &model.bouts[at];
                        bout.bar.is_some() && bout.bar_before != Some(self.course.bars[at] as usize)
                    };
                    let same = unit.before == Some(heat) && !model.athletes[athlete].bouts.clone().any(other_bar);
                    changed += u32::from(!same);
                }
            }
        }
        let price = found.finish.saturating_add(changed.saturating_mul(self.seconds_a_person));
        Worth { price, changed, heats: crews.used() as u32, moves: found.moves, finish: found.finish }
    }

    /// What a walk goes by: the worth, smoothed so that a step in the right direction shows.
    pub(crate) fn guide(&self, aim: Aim, worth: &Worth, found: &Found) -> u64 {
        let (changed, heats, moves) = (u64::from(worth.changed), u64::from(worth.heats), u64::from(worth.moves));
        let mean = found.ends / heats.max(1);
        let over = u64::from(found.over) * TOO_LONG;
        match aim {
            Aim::Finish => {
                let whole = (u64::from(worth.price) + over) * SECOND;
                whole + mean * (SECOND / 32) + changed.min(64) * 64 + moves.min(256) * 4
            }
            Aim::Neat => {
                let fine = mean.min(SECOND - 1) / (1 + self.model.slots as u64);
                (over * 64 + changed * 1000 + heats * 100 + moves) * SECOND + fine
            }
        }
    }

    /// Where a walk may begin; none where the order cannot be kept at all.
    pub(crate) fn place(&mut self, aim: Aim, crews: &Crews, order: Vec<u32>) -> Option<Stand> {
        let (worth, found) = self.look(crews, &order, Stretch::WHOLE, NEVER)?;
        Some(Stand { guide: self.guide(aim, &worth, &found), heat_of: crews.heat_of.clone(), order })
    }

    /// Looks for a plan near an order.
    pub(crate) fn mend(&mut self, crews: &Crews, order: &[u32]) {
        self.look(crews, order, Stretch { mend: true, ..Stretch::WHOLE }, NEVER);
    }

    /// The place of the best plan.
    pub(crate) fn best_place(&mut self, aim: Aim) -> Option<Stand> {
        let best = self.best.clone()?;
        let crews = Crews::of(self.model, &best.heat_of);
        self.course.forget_wishes();
        for (at, bar) in best.bars.iter().enumerate() {
            self.course.wish(at, *bar);
        }
        self.place(aim, &crews, best.order)
    }

    /// Whether nothing better than the best can be.
    pub(crate) fn at(&self, least: &Worth) -> bool {
        self.best.as_ref().is_some_and(|best| best.worth <= *least)
    }

    /// Walks from a place; gives where it ends.
    pub(crate) fn walk(&mut self, aim: Aim, from: Stand, leash: Leash) -> Stand {
        let Leash { until, warmth, least } = leash;
        let Stand { mut guide, heat_of, mut order } = from;
        let mut crews = Crews::of(self.model, &heat_of);
        // A walk after fewer changes sets out from a plan.
        let whole = Stretch { mend: aim == Aim::Neat, ..Stretch::WHOLE };
        if self.look(&crews, &order, whole, NEVER).is_none() {
            return Stand { guide, heat_of, order };
        }
        order.clone_from(&self.course.order);
        self.luck = Luck::new(self.model);
        self.course.keep(&crews, 0);
        let scale = (guide / SECOND).min(1 << 20);
        let stop = self.best.as_ref().map_or(NEVER, |best| best.worth.finish);
        let mut next = order.clone();
        let begun = self.course.work;
        let (mut warmth, mut part) = (scale * warmth * SECOND / 1000, 0);
        while self.course.work < until && !self.at(&least) {
            // The finish is as good as it can be: the rest is for another walk.
            if aim == Aim::Finish && self.best.as_ref().is_some_and(|best| best.worth.price <= least.price) {
                break;
            }
            while part < (self.course.work - begun) * PARTS / (until - begun) {
                warmth = (warmth * COOLING) >> 16;
                part += 1;
            }
            self.course.work += 1;
            next.clone_from(&order);
            let kind = self.luck.draw(&mut self.dice);
            let Some(change) = self.change(kind, &mut crews, &mut next) else { continue };
            let part = self.parted(&change, &order);
            let late = guide + ((self.dice.seldom() * warmth) >> 10);
            let latest = match aim {
                Aim::Finish => (late / SECOND).min(u64::from(NEVER)) as u32,
                Aim::Neat => stop,
            };
            let heats = if part.1 { [0; 2] } else { change.heats() };
            let touched =
                Stretch { from: part.0, touched: if part.1 { None } else { Some(&heats) }, mend: kind == Kind::Retime };
            let looked = self.look(&crews, &next, touched, latest);
            let Some((there, found)) = looked.map(|(w, f)| (self.guide(aim, &w, &f), f)).filter(|l| l.0 <= late) else {
                self.undo(&mut crews, change);
                continue;
            };
            self.luck.note(kind, there != guide);
            guide = there;
            order.clone_from(&self.course.order);
            self.course.keep(&crews, part.0);
            if found.over > 0
                && let Some((worth, found)) =
                    self.look(&crews, &order, Stretch { mend: true, ..Stretch::WHOLE }, latest)
            {
                let mended = self.guide(aim, &worth, &found);
                if mended <= late {
                    guide = mended;
                    order.clone_from(&self.course.order);
                    self.course.keep(&crews, 0);
                }
            }
        }
        Stand { guide, heat_of: crews.heat_of, order }
    }

    /// From where on a change makes a difference, and whether all heats forget what their rests asked for.
    fn parted(&mut self, change: &Change, order: &[u32]) -> (usize, bool) {
        if self.model.limited_rests && self.dice.below(8) == 0 {
            return (0, true);
        }
        let from = change.from().unwrap_or_else(|| {
            // A start that nobody is left for makes a difference too.
            let concerned = |cell: &u32| change.heats().contains(&(*cell as usize / self.model.stages));
            order.iter().position(concerned).unwrap_or(order.len())
        });
        (from, false)
    }
}

/// Which part of an order is run anew.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stretch<'a> {
    /// The order is as the kept one up to here.
    pub(crate) from: usize,
    /// Heats that forget what their rests asked of the kept order; all where it is none.
    pub(crate) touched: Option<&'a [usize]>,
    /// Whether starts are moved until no rest is too long.
    pub(crate) mend: bool,
}

impl Stretch<'_> {
    pub(crate) const WHOLE: Stretch<'static> = Stretch { from: 0, touched: None, mend: false };
}
