//! Timing: several rounds of the same work, and the median of them.

use std::time::{Duration, Instant};

/// How many rounds are timed at most.
const ROUNDS: usize = 2_001;
/// How long a round lasts at least. Most of such short rounds fall between two turns of the machine's scheduler, so
/// their median stands even where other programs want the same core.
const ROUND: Duration = Duration::from_micros(250);
/// When no further round is begun. Two dozen pieces of work take less than half a minute so.
const LONGEST: Duration = Duration::from_millis(1_100);

/// How many things were done in a second: the median of the rounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rate(u128);

impl Rate {
    /// Repeats `work` on the things, a portion at a time and from the beginning again after the last, and takes the
    /// median of the rounds. The clock is looked at after each portion.
    ///
    /// The first rounds, which fill the caches, weigh nothing in a median of so many.
    pub fn measured<T>(things: &[T], portion: usize, mut work: impl FnMut(&[T])) -> Self {
        let mut portions = things.chunks(portion).cycle();
        let (start, mut rates) = (Instant::now(), Vec::with_capacity(ROUNDS));
        while rates.len() < ROUNDS && (rates.is_empty() || start.elapsed() < LONGEST) {
            rates.push(round(&mut portions, &mut work));
        }
        median(rates)
    }

    /// Things a second.
    pub fn a_second(self) -> u128 {
        self.0
    }

    /// How many times as fast `other` is, in hundredths.
    pub fn hundredths_slower_than(self, other: Self) -> u128 {
        (other.0 * 100).checked_div(self.0).unwrap_or_default()
    }
}

fn round<'a, T: 'a>(portions: &mut impl Iterator<Item = &'a [T]>, work: &mut impl FnMut(&[T])) -> Rate {
    let (start, mut done) = (Instant::now(), 0_u128);
    for portion in portions {
        work(portion);
        done += u128::try_from(portion.len()).unwrap_or_default();
        let passed = start.elapsed();
        if passed >= ROUND {
            return Rate(done * 1_000_000_000 / passed.as_nanos());
        }
    }
    // Nothing to do takes no time.
    Rate(0)
}

fn median(mut rates: Vec<Rate>) -> Rate {
    rates.sort_unstable_by_key(|rate| rate.0);
    rates.get(rates.len() / 2).copied().unwrap_or(Rate(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_the_middle_rate() {
        assert_eq!(median([9, 1, 5, 1_000, 4].map(Rate).to_vec()), Rate(5));
        assert_eq!(median(Vec::new()), Rate(0));
    }

    #[test]
    fn every_thing_is_worked_on_in_turn_and_nothing_is_done_with_none() {
        let mut seen = Vec::new();
        let rate = Rate::measured(&[1, 2, 3], 2, |portion| {
            if seen.len() < 5 {
                seen.extend_from_slice(portion);
            }
        });
        assert_eq!(seen, [1, 2, 3, 1, 2]);
        assert!(rate.a_second() > 0);
        assert_eq!(Rate::measured::<u8>(&[], 2, |_| ()), Rate(0));
    }

    #[test]
    fn a_ratio_counts_how_many_times_as_fast_the_other_is() {
        assert_eq!(Rate(200).hundredths_slower_than(Rate(900)), 450);
        assert_eq!(Rate(0).hundredths_slower_than(Rate(900)), 0);
    }
}
