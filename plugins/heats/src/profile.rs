//! How much of one thing is in use at each second: a step function of time.

/// Use of one thing. `steps[i]` holds from its second until the next one's; the last holds for ever.
#[derive(Clone, Debug)]
pub(crate) struct Profile {
    steps: Vec<(u32, u32)>,
}

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

    /// In use at a second.
    pub(crate) fn at_second(&self, second: u32) -> u32 {
        self.steps[self.at(second)].1
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
}

#[cfg(test)]
mod tests {
    use super::Profile;

    #[test]
    fn what_is_added_is_there_from_its_first_second_until_its_last() {
        let mut profile = Profile::new();
        profile.add(10, 20, 2);
        profile.add(15, 30, 1);
        assert_eq!((profile.most(0, 10), profile.most(0, 16), profile.most(20, 99)), (0, 3, 1));
        assert_eq!([9, 10, 15, 20, 30].map(|second| profile.at_second(second)), [0, 2, 3, 1, 0]);
        assert_eq!([0, 10, 20, 30].map(|second| profile.next_step(second)), [Some(10), Some(15), Some(30), None]);
    }
}
