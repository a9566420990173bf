//! Numbers that look random and are the same in every run, and how they are written.

/// A linear congruential generator with the multiplier and increment that Knuth gives for 64 bits (MMIX).
pub struct Chance(u64);

impl Chance {
    /// The numbers that begin at a seed.
    pub fn from_seed(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below the bound.
    pub fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // The high bits are the more random ones.
        (self.0 >> 33) % bound
    }
}

/// A count of halves as a decimal: 29 is `14.5`.
pub fn halves(count: u64) -> String {
    format!("{}.{}", count / 2, count % 2 * 5)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_numbers() {
        let numbers = |seed: u64| {
            let mut chance = Chance::from_seed(seed);
            (0..100).map(|_| chance.below(6)).collect::<Vec<_>>()
        };
        assert_eq!(numbers(1), numbers(1));
        assert_ne!(numbers(1), numbers(2));
        assert!((0..6).all(|number| numbers(1).contains(&number)));
    }

    #[test]
    fn halves_are_written_as_decimals() {
        assert_eq!([0, 1, 29].map(halves), ["0.0", "0.5", "14.5"]);
    }
}
