//! A share of something, as papers write it.

use kernel::{Exact, NumberError, Rounding};

/// A share as so many of a hundred, to the nearest tenth, halves up; where that cannot be worked out, as it stands.
///
/// ```
/// use kernel::Exact;
/// assert_eq!(wire::percent(Exact::fraction(1, 3)), "33.3");
/// assert_eq!(wire::percent(Exact::fraction(1245, 10_000)), "12.5"); // 12.45, a half
/// ```
#[must_use]
pub fn percent(share: Exact) -> String {
    let tenth = |share: Exact| -> Result<Exact, NumberError> {
        share.times(Exact::of(100))?.rounded_to(Exact::fraction(1, 10), Rounding::HalfUp)
    };
    tenth(share).unwrap_or(share).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_rounded_to_a_tenth_of_a_percent_halves_up() {
        for (share, text) in [
            (Exact::fraction(1, 3), "33.3"),
            (Exact::fraction(2, 3), "66.7"),
            (Exact::fraction(1_2345, 10_0000), "12.3"), // 12.345
            (Exact::fraction(1_25, 10_00), "12.5"),
            (Exact::fraction(1_2450, 10_0000), "12.5"), // 12.45, a half
            (Exact::ZERO, "0"),
            (Exact::ONE, "100"),
        ] {
            assert_eq!(percent(share), text);
        }
    }
}
