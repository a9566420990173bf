//! What a round log should make when it is hewn square: a check on the hewer, and on the tape.

use kernel::{Exact, NumberError};

use crate::Inches;

/// How a hewn section stands to the log it came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Yield {
    /// Its diagonal is more than the diameter: it keeps wane, or one of them was measured wrong.
    NeedsWane,
    /// At least the square of two thirds of the diameter, which allows for crook and rough logs.
    Full,
    /// Less than that: wood was hewn away that could have stayed, or the log was poor.
    Short,
}

/// The figures of a yield check, in inches and square inches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YieldCheck {
    /// The area of the section.
    pub section: Exact,
    /// The area of the square inscribed in the log: D² / 2 (Woodsman's Handbook, Forest Service Bulletin 36).
    pub inscribed: Exact,
    /// The area of the square of two thirds of the diameter: 4 D² / 9 (the same).
    pub two_thirds: Exact,
    /// The section as a share of the inscribed square.
    pub share_of_inscribed: Exact,
    /// How it stands.
    pub outcome: Yield,
}

/// Holds a hewn section against the diameter of its log: at the small end for what must be free of wane, at mid-length
/// for the two-thirds rule as it is published.
///
/// # Errors
///
/// [`NumberError::TooLarge`], which sizes within their bounds never reach.
///
/// ```
/// use scaling::{Yield, yield_check};
/// let check = yield_check("18".parse()?, "12".parse()?, "12".parse()?)?;
/// assert_eq!(check.outcome, Yield::Full); // exactly two thirds
/// assert_eq!(check.share_of_inscribed, kernel::Exact::fraction(8, 9));
/// assert_eq!(yield_check("18".parse()?, "11.9".parse()?, "12".parse()?)?.outcome, Yield::Short);
/// assert_eq!(yield_check("18".parse()?, "13".parse()?, "13".parse()?)?.outcome, Yield::NeedsWane);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn yield_check(
    log_diameter_in: Inches,
    width_in: Inches,
    thickness_in: Inches,
) -> Result<YieldCheck, NumberError> {
    let square = log_diameter_in.exact().squared()?;
    let section = width_in.exact().times(thickness_in.exact())?;
    let diagonal = width_in.exact().squared()?.plus(thickness_in.exact().squared()?)?;
    let inscribed = square.over(Exact::of(2))?;
    let two_thirds = square.times(Exact::fraction(4, 9))?;
    let outcome = if diagonal > square {
        Yield::NeedsWane
    } else if section >= two_thirds {
        Yield::Full
    } else {
        Yield::Short
    };
    let share_of_inscribed = section.over(inscribed)?;
    Ok(YieldCheck { section, inscribed, two_thirds, share_of_inscribed, outcome })
}

/// The smallest round log that makes a section with no wane: its diagonal, up to the hundredth of an inch.
///
/// # Errors
///
/// [`NumberError::TooLarge`], which sizes within their bounds never reach.
///
/// ```
/// use scaling::smallest_log_in;
/// // Ties of 7 by 9 and 6 by 8 inches.
/// assert_eq!(smallest_log_in("9".parse()?, "7".parse()?)?.to_string(), "11.41");
/// assert_eq!(smallest_log_in("8".parse()?, "6".parse()?)?.to_string(), "10");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn smallest_log_in(width_in: Inches, thickness_in: Inches) -> Result<Exact, NumberError> {
    let diagonal = width_in.exact().squared()?.plus(thickness_in.exact().squared()?)?;
    // The least whole number of hundredths whose square is not less, found by halving.
    let (mut low, mut high) = (0_i128, 1_i128 << 17);
    while low < high {
        let middle = low + (high - low) / 2;
        if Exact::fraction(middle, 100).squared()? >= diagonal {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Ok(Exact::fraction(low, 100))
}
