//! How much of one thing is in use at each second: a step function of time.

/// Use of one thing. `steps[i]` holds from its second until the next one's; the last holds for ever.
#[derive(Clone, Debug)]
pub(crate) struct Profile {
    steps: Vec<(u32, u32)>,
}

/// What those who start together ask of one thing, by seconds since the start: `(until, amount)`, amounts falling.
pub(crate) type Stair = Vec<(u32, u32)>;

impl Profile {
    pub(crate) fn new() -> Self {
        Profile { steps: vec![(0, 0)] }
    }

    /// Takes over another profile without giving up memory.
    pub(crate) fn reset(&mut self, base: &Profile) {
        self.steps.clone_from(&base.steps);
    }

    /// The position of the step that holds at a second.
    fn at(&self, second: u32) -> usize {
        self.steps.partition_point(|step| step.0 <= second) - 1
    }

    /// Makes a step begin at a second and gives its position.
    fn cut(&mut self, second: u32) -> usize {
        let at = self.at(second);
        if self.steps[at].0 == second {
            return at;
        }
        self.steps.insert(at + 1, (second, self.steps[at].1));
        at + 1
    }

    pub(crate) fn add(&mut self, from: u32, to: u32, amount: u32) {
        if from < to && amount > 0 {
            let (first, last) = (self.cut(from), self.cut(to));
            self.steps[first..last].iter_mut().for_each(|step| step.1 += amount);
        }
    }

    /// Takes back what was added before.
    pub(crate) fn remove(&mut self, from: u32, to: u32, amount: u32) {
        if from < to && amount > 0 {
            let (first, last) = (self.cut(from), self.cut(to));
            self.steps[first..last].iter_mut().for_each(|step| step.1 -= amount);
            self.join(last);
            self.join(first);
        }
    }

    fn join(&mut self, at: usize) {
        if at > 0 && self.steps[at].1 == self.steps[at - 1].1 {
            self.steps.remove(at);
        }
    }

    /// The most in use between two seconds.
    pub(crate) fn most(&self, from: u32, to: u32) -> u32 {
        let rest = &self.steps[self.at(from)..];
        rest.iter().take_while(|step| step.0 < to).map(|step| step.1).max().unwrap_or(0)
    }

    /// The first step that begins after a second.
    pub(crate) fn next_step(&self, second: u32) -> Option<u32> {
        self.steps.get(self.at(second) + 1).map(|step| step.0)
    }

    /// The first second from `start` on at which the stair fits under the limit; none where it never does. Adds the steps
    /// that it looked at to `looks`.
    pub(crate) fn first_fit(&self, stair: &Stair, limit: u32, start: u32, looks: &mut u64) -> Option<u32> {
        let length = stair.last()?.0;
        let mut start = start;
        let mut at = self.at(start);
        'again: loop {
            let mut stairs = stair.iter();
            let mut stair = stairs.next()?;
            for (later, &(second, used)) in self.steps[at..].iter().enumerate() {
                *looks += 1;
                let offset = second.max(start) - start;
                if offset >= length {
                    break;
                }
                while stair.0 <= offset {
                    stair = stairs.next()?;
                }
                if used + stair.1 > limit {
                    // Amounts fall with time, so no start before this step's end fits either.
                    at += later + 1;
                    start = self.steps.get(at)?.0;
                    continue 'again;
                }
            }
            return Some(start);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Profile;

    #[test]
    fn adding_and_taking_back_leaves_nothing() {
        let mut profile = Profile::new();
        profile.add(10, 20, 2);
        profile.add(15, 30, 1);
        assert_eq!((profile.most(0, 10), profile.most(0, 16), profile.most(20, 99)), (0, 3, 1));
        profile.remove(10, 20, 2);
        profile.remove(15, 30, 1);
        assert_eq!(profile.steps, [(0, 0)]);
    }

    #[test]
    fn the_first_fit_is_what_trying_every_second_finds() {
        let mut profile = Profile::new();
        for (from, to, amount) in [(5, 9, 2), (12, 20, 1), (22, 30, 3), (31, 33, 2)] {
            profile.add(from, to, amount);
        }
        let stair = vec![(3, 3), (6, 2), (9, 1)];
        let amount = |offset: u32| stair.iter().find(|s| s.0 > offset).map_or(0, |s| s.1);
        for start in 0..40 {
            let fits = |s: &u32| (0..9).all(|o| profile.most(s + o, s + o + 1) + amount(o) <= 3);
            assert_eq!(profile.first_fit(&stair, 3, start, &mut 0), (start..99).find(fits));
        }
        assert_eq!(profile.first_fit(&vec![(1, 4)], 3, 0, &mut 0), None);
    }
}
