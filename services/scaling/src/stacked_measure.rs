//! The space a ranked pile fills, in cords and in stacked cubic metres: wood, bark and the air between the sticks.

use kernel::{Exact, NumberError};

/// How many cubic feet of filled space make a cord: a pile 8 feet long, 4 feet high, of sticks of 4 feet.
///
/// Sources: NIST Handbook 130, method of sale of fireplace and stove wood, 2.4 (as adopted 1991); Maine Revised
/// Statutes, title 10, section 2361-A. Both mean wood that is ranked and well stowed: pieces in line, parallel, touching
/// and compact.
pub const CUBIC_FEET_IN_A_CORD: Exact = Exact::of(128);

/// How many cubic metres of filled space a cord is, exactly: 128 × 0.3048³. For comparing figures on paper; nothing
/// that is paid for is converted.
///
/// Source: the foot of 0.3048 metres exactly (NIST Special Publication 811, from memory).
pub const STACKED_CUBIC_METRES_IN_A_CORD: Exact = Exact::fraction(3_624_556_363_776, 1_000_000_000_000);

/// Cords, not rounded: length along the pile × height × length of the sticks, all in feet, ÷ 128.
///
/// # Errors
///
/// [`NumberError::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::cords;
/// assert_eq!(cords(Exact::of(8), Exact::of(4), Exact::of(4))?, Exact::ONE);
/// // Sticks of 16 inches in a pile 8 feet long and 4 feet high.
/// assert_eq!(cords(Exact::of(8), Exact::of(4), Exact::fraction(16, 12))?, Exact::fraction(1, 3));
/// # Ok::<(), kernel::NumberError>(())
/// ```
pub fn cords(length_ft: Exact, height_ft: Exact, stick_length_ft: Exact) -> Result<Exact, NumberError> {
    length_ft.times(height_ft)?.times(stick_length_ft)?.over(CUBIC_FEET_IN_A_CORD)
}

/// Stacked cubic metres, not rounded: length along the pile × height × length of the sticks, all in metres.
///
/// # Errors
///
/// [`NumberError::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::stacked_cubic_metres;
/// let filled = stacked_cubic_metres(Exact::of(5), Exact::fraction(6, 5), Exact::of(2))?;
/// assert_eq!(filled, Exact::of(12));
/// # Ok::<(), kernel::NumberError>(())
/// ```
pub fn stacked_cubic_metres(
    length_m: Exact,
    height_m: Exact,
    stick_length_m: Exact,
) -> Result<Exact, NumberError> {
    length_m.times(height_m)?.times(stick_length_m)
}
