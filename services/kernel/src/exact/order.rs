//! Which of two fractions is the larger: always answered, however large their parts.

use std::cmp::Ordering;

use super::Exact;

impl Ord for Exact {
    #[inline]
    fn cmp(&self, other: &Self) -> Ordering {
        if self.denominator == other.denominator {
            return self.numerator.cmp(&other.numerator);
        }
        match (self.words(), other.words()) {
            (Some(left), Some(right)) => {
                let over_left = i128::from(left.numerator) * i128::from(right.denominator);
                over_left.cmp(&(i128::from(right.numerator) * i128::from(left.denominator)))
            }
            _ => of_any(*self, *other),
        }
    }
}

impl PartialOrd for Exact {
    #[inline]
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Compares whole parts, and where they are equal what is left, turned over, the other way round. Nothing is
/// multiplied, so nothing can be too large.
#[cold]
fn of_any(left: Exact, right: Exact) -> Ordering {
    let (mut left, mut right) = (left, right);
    loop {
        let whole = left.floor().cmp(&right.floor());
        let rests = (left.past_floor(), right.past_floor());
        match (whole, rests) {
            (Ordering::Equal, (0, 0)) => return Ordering::Equal,
            (Ordering::Equal, (0, _)) => return Ordering::Less,
            (Ordering::Equal, (_, 0)) => return Ordering::Greater,
            (Ordering::Equal, (left_rest, right_rest)) => {
                let turned =
                    |past: u128, of: Exact| Exact::of_parts(of.denominator.get().cast_signed(), past);
                (left, right) = (turned(right_rest, right), turned(left_rest, left));
            }
            (unequal, _) => return unequal,
        }
    }
}

impl Exact {
    /// How many parts of the denominator it is past its floor.
    const fn past_floor(self) -> u128 {
        self.numerator.rem_euclid(self.denominator.get().cast_signed()).unsigned_abs()
    }
}
