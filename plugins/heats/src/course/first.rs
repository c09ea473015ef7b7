//! When a start can be: the first second at which everything that it needs is there.

use crate::course::Course;
use crate::crew::Node;
use crate::model::NEVER;
use crate::read::LAST_SECOND;

impl Course<'_> {
    /// The first second from `low` on at which all is there for a node; its bars are in `seats` then.
    pub(super) fn first(&mut self, node: &Node, low: u32, latest: u32) -> Option<u32> {
        let model = self.model;
        self.work += 1 + node.needs.len() as u64;
        let mut second = model.on_step(low);
        loop {
            let before = second;
            for &(thing, amount) in &node.needs {
                let places = &self.front.places[model.place_of[thing as usize].clone()];
                second = second.max(*places.get(amount as usize - 1)?);
            }
            second = model.on_step(second);
            if model.any_taken {
                second = self.beside_others(node, second)?;
            }
            if !node.bars.is_empty() {
                if second + node.tail > latest {
                    return None;
                }
                if self.any_scarce {
                    let bars = self.seats.one_by_one(model, &self.front.bars, &self.front.plates, &node.bars, second);
                    self.work += std::mem::take(&mut self.seats.looks) / 4;
                    match bars {
                        Ok(()) => {}
                        Err(NEVER) => return None,
                        Err(later) => {
                            second = model.on_step(later);
                            continue;
                        }
                    }
                } else {
                    second = self.seats.first(model, &self.front.bars, &node.bars, second);
                    self.work += std::mem::take(&mut self.seats.looks) / 4;
                    if second + node.tail > latest {
                        return None;
                    }
                    if second == before || !model.any_taken {
                        let bars = self.seats.choose(model, &self.front.bars, &node.bars, &self.wishes, second);
                        if let Err(later) = bars {
                            second = later;
                            continue;
                        }
                    }
                }
            }
            if second == before || !model.any_taken {
                return Some(second);
            }
        }
    }

    /// The first second from then on at which what others take leaves enough.
    fn beside_others(&self, node: &Node, mut second: u32) -> Option<u32> {
        let model = self.model;
        'later: loop {
            for &(thing, _) in &node.needs {
                let it = &model.things[thing as usize];
                // What is in use falls from now on, so it is most when what others take begins to be more.
                let mut at = second;
                while at < second + node.longest {
                    let asked: u32 = node.ends.iter().filter(|e| e.0 == thing && second + e.1 > at).map(|e| e.2).sum();
                    let places = &self.front.places[model.place_of[thing as usize].clone()];
                    let mine = (places.len() - places.partition_point(|free| *free <= at)) as u32;
                    if asked > 0 && asked + mine + it.taken.at_second(at) > it.there {
                        // Later by as much as makes a difference: the next change of anything.
                        let theirs = it.taken.next_step(second).filter(|step| *step < LAST_SECOND);
                        let ours = places.iter().copied().find(|free| *free > second);
                        second = model.on_step(theirs.into_iter().chain(ours).min()?);
                        continue 'later;
                    }
                    match it.taken.next_step(at) {
                        Some(next) => at = next,
                        None => break,
                    }
                }
            }
            return Some(second);
        }
    }
}
