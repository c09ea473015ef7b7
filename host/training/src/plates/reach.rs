//! Every sum that limited pairs of plates can make on one side, and the best way to make each.

use super::{MAX_PAIRS, MAX_SIDE, exact};

/// Sums by suffix: `tails[i]` is what sizes `i` and lighter can make, each with its fewest plates.
#[derive(Clone, Debug)]
pub(super) struct Reach {
    /// Mass and pairs, heaviest first, all different.
    sizes: Vec<(u64, u32)>,
    /// One more than there are sizes; the last makes nothing but zero.
    tails: Vec<Tail>,
}

/// Sums in rising order, each with the fewest plates that make it.
type Tail = Vec<(u64, u32)>;

impl Reach {
    pub(super) fn new(mut stock: Vec<(u64, u32)>) -> Self {
        stock.retain(|&(mass, pairs)| mass > 0 && pairs > 0);
        stock.sort_by_key(|&(mass, _)| std::cmp::Reverse(mass));
        stock.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            if same {
                kept.1 = kept.1.saturating_add(next.1);
            }
            same
        });
        for size in &mut stock {
            size.1 = size.1.min(MAX_PAIRS);
        }
        let limit = exact::Scale::Grams.read(MAX_SIDE).0;
        let mut tails: Vec<Tail> = vec![vec![(0, 0)]];
        for &(mass, pairs) in stock.iter().rev() {
            let lighter = tails.last().expect("it starts with one");
            let mut all = lighter.clone();
            for count in 1..=pairs {
                let added = lighter
                    .iter()
                    .map(|&(sum, plates)| (sum + u64::from(count) * mass, plates + count))
                    .take_while(|&(sum, _)| sum <= limit);
                all = merged(&all, added);
            }
            tails.push(all);
        }
        tails.reverse();
        Reach { sizes: stock, tails }
    }

    /// The heaviest sum.
    pub(super) fn heaviest(&self) -> u64 {
        self.tails[0].last().map_or(0, |&(sum, _)| sum)
    }

    /// The heaviest sum not above a limit; never `None`, since nothing is a sum too.
    pub(super) fn not_above(&self, limit: u64) -> Option<u64> {
        let end = self.tails[0].partition_point(|&(sum, _)| sum <= limit);
        end.checked_sub(1).map(|at| self.tails[0][at].0)
    }

    /// The lightest sum not below a limit.
    pub(super) fn not_below(&self, limit: u64) -> Option<u64> {
        let at = self.tails[0].partition_point(|&(sum, _)| sum < limit);
        self.tails[0].get(at).map(|&(sum, _)| sum)
    }

    /// The plates of a sum that can be made: fewest, then as many as possible of the inner plates of `previous`, then
    /// the heavier first.
    pub(super) fn side(&self, sum: u64, previous: &[u64]) -> Vec<u64> {
        let Some(fewest) = self.fewest(0, sum) else {
            return Vec::new();
        };
        let mut best = self.complete(0, None, sum, fewest).unwrap_or_default();
        let mut kept = Kept { size: 0, of_size: 0, sum: 0 };
        for (index, &plate) in previous.iter().enumerate() {
            let Some(next) = self.keep(kept, plate) else {
                break;
            };
            kept = next;
            let (Some(rest), Some(more)) = (sum.checked_sub(kept.sum), fewest.checked_sub(index as u32 + 1)) else {
                break;
            };
            let left = self.sizes[kept.size].1 - kept.of_size;
            if let Some(outer) = self.complete(kept.size, Some(left), rest, more) {
                best = previous[..=index].iter().copied().chain(outer).collect();
            }
        }
        best
    }

    /// One more inner plate kept, where there is such a plate and it is no heavier than the one before it.
    fn keep(&self, kept: Kept, plate: u64) -> Option<Kept> {
        let size = self.sizes.iter().position(|&(mass, _)| mass == plate)?;
        if size < kept.size {
            return None;
        }
        let of_size = if size == kept.size { kept.of_size + 1 } else { 1 };
        (of_size <= self.sizes[size].1).then_some(Kept { size, of_size, sum: kept.sum + plate })
    }

    /// The heaviest-first way to make `sum` with `plates` plates of size `from` (only `left` pairs of it, where that
    /// is less than all) and lighter, given that no way has fewer.
    fn complete(&self, from: usize, left: Option<u32>, mut sum: u64, mut plates: u32) -> Option<Vec<u64>> {
        let mut side = Vec::new();
        for (at, &(mass, pairs)) in self.sizes.iter().enumerate().skip(from) {
            let pairs = if at == from { left.unwrap_or(pairs) } else { pairs };
            let most = (sum / mass).min(u64::from(pairs.min(plates))) as u32;
            let count = (0..=most)
                .rev()
                .find(|&count| self.fewest(at + 1, sum - u64::from(count) * mass) == Some(plates - count))?;
            side.extend(std::iter::repeat_n(mass, count as usize));
            sum -= u64::from(count) * mass;
            plates -= count;
        }
        (sum == 0 && plates == 0).then_some(side)
    }

    fn fewest(&self, from: usize, sum: u64) -> Option<u32> {
        let tail = &self.tails[from];
        tail.binary_search_by_key(&sum, |&(sum, _)| sum).ok().map(|at| tail[at].1)
    }
}

/// Inner plates kept so far.
#[derive(Clone, Copy)]
struct Kept {
    size: usize,
    of_size: u32,
    sum: u64,
}

fn merged(old: &[(u64, u32)], added: impl Iterator<Item = (u64, u32)>) -> Tail {
    let mut all = Vec::with_capacity(old.len() * 2);
    let mut old = old.iter().copied().peekable();
    for (sum, plates) in added {
        while let Some(first) = old.next_if(|&(other, _)| other < sum) {
            all.push(first);
        }
        let fewest = old.next_if(|&(other, _)| other == sum).map_or(plates, |(_, other)| plates.min(other));
        all.push((sum, fewest));
    }
    all.extend(old);
    all
}
