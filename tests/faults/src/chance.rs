//! Numbers that look random and come again with the same seed.

/// SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014; from memory).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// What follows from a seed.
    pub const fn of(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A source of its own for somebody who works at the same time.
    pub fn split(&mut self) -> Self {
        Self(self.next())
    }

    /// A number below `bound`, which is not 0.
    pub fn below(&mut self, bound: u64) -> u64 {
        self.next().checked_rem(bound).unwrap_or(0)
    }

    /// A number below `bound` where a list's length is meant.
    pub fn place(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound).unwrap_or(u64::MAX);
        usize::try_from(self.below(bound)).unwrap_or(0)
    }

    /// Whether something happens that happens once in so many times.
    pub fn one_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }

    /// One of these.
    pub fn pick<'a, T>(&mut self, among: &'a [T]) -> Option<&'a T> {
        among.get(self.place(among.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers for the seed 1234567, as they are widely printed for this generator (from memory).
    #[test]
    fn the_same_seed_gives_the_same_numbers() {
        let mut chance = Chance::of(1_234_567);
        let first: Vec<u64> = (0..3).map(|_| chance.next()).collect();
        assert_eq!(first, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
        assert!((0..1_000).all(|_| chance.below(7) < 7));
    }
}
