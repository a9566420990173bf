//! The four operations on fractions in lowest terms, kept in lowest terms.
//!
//! Nearly every number of a week's work has parts of one machine word, and most are whole. Those are computed without
//! a check, because two words multiplied, or two such products added, cannot pass 127 bits. Whatever is wider goes
//! the long way by the same formulas with a check at each step.
//!
//! The formulas take the common divisors out before they multiply (Knuth, The Art of Computer Programming, volume 2,
//! section 4.5.1), so that no intermediate number is larger than it must be.

use super::{Exact, NumberError, divisor};

/// A fraction whose parts each fit a machine word.
#[derive(Clone, Copy)]
pub(super) struct Words {
    pub(super) numerator: i64,
    pub(super) denominator: u64,
}

impl Exact {
    /// The fraction in words, if it fits.
    #[inline]
    pub(super) fn words(self) -> Option<Words> {
        let numerator = i64::try_from(self.numerator).ok()?;
        let denominator = i64::try_from(self.denominator.get()).ok()?.unsigned_abs();
        Some(Words { numerator, denominator })
    }

    /// The whole number it is, if it is one and fits a word.
    #[inline]
    pub(super) fn whole_word(self) -> Option<i64> {
        self.whole().and_then(|whole| i64::try_from(whole).ok())
    }

    /// The fraction of these magnitudes, which have no common divisor, if it can be held.
    fn of_magnitudes(negative: bool, numerator: u128, denominator: u128) -> Option<Self> {
        let numerator = if negative {
            0_i128.checked_sub_unsigned(numerator)?
        } else {
            i128::try_from(numerator).ok()?
        };
        Self::if_held(numerator, denominator)
    }

    /// The same with the sign on the numerator.
    fn if_held(numerator: i128, denominator: u128) -> Option<Self> {
        i128::try_from(denominator).is_ok().then(|| Self::of_parts(numerator, denominator))
    }
}

/// Whether a number is added or taken away.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Plus,
    Minus,
}

/// `left` with `right` added or taken away.
pub(super) fn sum(left: Exact, sign: Sign, right: Exact) -> Result<Exact, NumberError> {
    match (left.words(), right.words()) {
        (Some(left), Some(right)) => Ok(sum_of_words(left, sign, right)),
        _ => sum_of_any(left, sign, right).ok_or(NumberError::TooLarge),
    }
}

fn sum_of_words(left: Words, sign: Sign, right: Words) -> Exact {
    let (begun, added) = (i128::from(left.numerator), i128::from(right.numerator));
    let added = if sign == Sign::Minus { -added } else { added };
    if left.denominator == 1 {
        // A whole number changes nothing about what the parts of the other have in common.
        let numerator = begun * i128::from(right.denominator) + added;
        return Exact::of_parts(numerator, right.denominator.into());
    }
    if left.denominator == right.denominator {
        let numerator = begun + added;
        let common = common_with_word(numerator, left.denominator);
        return Exact::of_parts(divided(numerator, common), (left.denominator / common).into());
    }
    let common = divisor::of_words(left.denominator, right.denominator);
    let (left_rest, right_rest) = (left.denominator / common, right.denominator / common);
    let numerator = begun * i128::from(right_rest) + added * i128::from(left_rest);
    let again = common_with_word(numerator, common);
    let denominator = u128::from(left_rest) * u128::from(right.denominator / again);
    Exact::of_parts(divided(numerator, again), denominator)
}

/// The greatest divisor that a number of any size has in common with a word, which is not nothing.
fn common_with_word(number: i128, word: u64) -> u64 {
    if word == 1 {
        return 1;
    }
    let magnitude = number.unsigned_abs();
    let magnitude = match u64::try_from(magnitude) {
        Ok(magnitude) => magnitude,
        // What is left after a division by a word is less than the word.
        Err(_) => u64::try_from(magnitude % u128::from(word)).unwrap_or(0),
    };
    divisor::of_words(magnitude, word)
}

/// A number divided by one of its divisors.
fn divided(number: i128, by: u64) -> i128 {
    if by == 1 {
        return number;
    }
    match (i64::try_from(number), i64::try_from(by)) {
        (Ok(number), Ok(by)) => (number / by).into(),
        _ => number / i128::from(by),
    }
}

#[cold]
fn sum_of_any(left: Exact, sign: Sign, right: Exact) -> Option<Exact> {
    let (left_parts, right_parts) = (left.denominator.get(), right.denominator.get());
    let common = divisor::of(left_parts, right_parts);
    let (left_rest, right_rest) = (left_parts / common, right_parts / common);
    let denominator = left_rest.checked_mul(right_parts)?;
    let (over_left, over_right) = (
        left.numerator.checked_mul(right_rest.cast_signed())?,
        right.numerator.checked_mul(left_rest.cast_signed())?,
    );
    let numerator = match sign {
        Sign::Plus => over_left.checked_add(over_right)?,
        Sign::Minus => over_left.checked_sub(over_right)?,
    };
    let again = divisor::of(numerator.unsigned_abs(), common);
    Exact::if_held(numerator / again.cast_signed(), denominator / again)
}

/// `left` times `right`.
pub(super) fn product(left: Exact, right: Exact) -> Result<Exact, NumberError> {
    let negative = (left.numerator < 0) != (right.numerator < 0);
    match (left.words(), right.words()) {
        (Some(left), Some(right)) => Ok(product_of_words(
            negative,
            (left.numerator.unsigned_abs(), left.denominator),
            (right.numerator.unsigned_abs(), right.denominator),
        )),
        _ => product_of_any(
            negative,
            (left.numerator.unsigned_abs(), left.denominator.get()),
            (right.numerator.unsigned_abs(), right.denominator.get()),
        ),
    }
}

/// `left` divided by `right`, which is not nothing: multiplied by it turned over.
pub(super) fn quotient(left: Exact, right: Exact) -> Result<Exact, NumberError> {
    let negative = (left.numerator < 0) != (right.numerator < 0);
    match (left.words(), right.words()) {
        (Some(left), Some(right)) => Ok(product_of_words(
            negative,
            (left.numerator.unsigned_abs(), left.denominator),
            (right.denominator, right.numerator.unsigned_abs()),
        )),
        _ => product_of_any(
            negative,
            (left.numerator.unsigned_abs(), left.denominator.get()),
            (right.denominator.get(), right.numerator.unsigned_abs()),
        ),
    }
}

/// A product from magnitudes, each a numerator and a denominator. Words are at most 2^63, so nothing here is more than
/// 2^126.
#[inline]
fn product_of_words(negative: bool, left: (u64, u64), right: (u64, u64)) -> Exact {
    let (left_numerator, right_denominator) = without_common(left.0, right.1);
    let (right_numerator, left_denominator) = without_common(right.0, left.1);
    let numerator = (u128::from(left_numerator) * u128::from(right_numerator)).cast_signed();
    let denominator = u128::from(left_denominator) * u128::from(right_denominator);
    Exact::of_parts(if negative { -numerator } else { numerator }, denominator)
}

/// A numerator and a denominator divided by what they have in common. Dividing costs more than looking whether there
/// is any need to.
#[inline]
fn without_common(numerator: u64, denominator: u64) -> (u64, u64) {
    if denominator == 1 {
        return (numerator, 1);
    }
    match divisor::of_words(numerator, denominator) {
        1 => (numerator, denominator),
        common => (numerator / common, denominator / common),
    }
}

#[cold]
fn product_of_any(negative: bool, left: (u128, u128), right: (u128, u128)) -> Result<Exact, NumberError> {
    let first = divisor::of(left.0, right.1);
    let second = divisor::of(right.0, left.1);
    let numerator = (left.0 / first).checked_mul(right.0 / second);
    let denominator = (left.1 / second).checked_mul(right.1 / first);
    numerator
        .zip(denominator)
        .and_then(|(numerator, denominator)| Exact::of_magnitudes(negative, numerator, denominator))
        .ok_or(NumberError::TooLarge)
}
