//! Random numbers that are the same every time.

/// A stream of random numbers defined by its seed: SplitMix64 (Steele, Lea and Flood, "Fast
/// splittable pseudorandom number generators", 2014), with their constants.
#[derive(Clone, Debug)]
pub(super) struct Rng(u64);

impl Rng {
    /// The stream of a seed; each `branch` of it is a separate stream.
    pub(super) fn new(seed: u64, branch: u64) -> Self {
        let mut rng = Self(seed ^ branch.wrapping_mul(0xD1B5_4A32_D192_ED03));
        let first = rng.next();
        Self(first ^ branch)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to, not including, 1.
    pub(super) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From `low` up to `high`; `low` when that is not below `high`.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low).max(0.0) * self.unit()
    }

    /// One of 0 to `count` − 1; 0 when there is none.
    pub(super) fn below(&mut self, count: usize) -> usize {
        ((u128::from(self.next()) * count as u128) >> 64) as usize
    }

    /// Into any order.
    pub(super) fn shuffle<T>(&mut self, things: &mut [T]) {
        for i in (1..things.len()).rev() {
            things.swap(i, self.below(i + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_draws_the_same_and_fairly() {
        let (mut a, mut b, mut c) = (Rng::new(7, 1), Rng::new(7, 1), Rng::new(7, 2));
        let draws = |rng: &mut Rng| (0..6000).map(|_| rng.below(6)).collect::<Vec<_>>();
        let (first, second, other) = (draws(&mut a), draws(&mut b), draws(&mut c));
        assert!(first == second && first != other);
        for face in 0..6 {
            let seen = first.iter().filter(|t| **t == face).count();
            assert!((880..1120).contains(&seen), "{face}: {seen}");
        }
        assert_eq!((a.below(0), a.below(1), a.between(3.0, 3.0)), (0, 0, 3.0));
    }

    #[test]
    fn shuffling_keeps_everything() {
        let mut cards: Vec<u32> = (0..52).collect();
        Rng::new(1, 0).shuffle(&mut cards);
        assert_ne!(cards, (0..52).collect::<Vec<_>>());
        cards.sort_unstable();
        assert_eq!(cards, (0..52).collect::<Vec<_>>());
    }
}
