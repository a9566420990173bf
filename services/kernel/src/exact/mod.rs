//! Exact fractions: what every volume, share and regular rate is computed in.

mod arithmetic;
pub(crate) mod digits;
mod divisor;
mod nearest;
mod order;
mod text;

use std::num::NonZeroU128;

use crate::{Fixed, Rounding};
use arithmetic::{Sign, Words};

/// Why a computation has no exact answer that can be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// A numerator or denominator passed 127 bits. Measured sizes are bounded, so this means absurd input.
    #[error("the numbers are too large to compute exactly")]
    TooLarge,
    /// A division by zero.
    #[error("division by zero")]
    DividedByZero,
    /// The value has no finite form with six decimals; round it to a named step first.
    #[error("the value cannot be written exactly with six decimals")]
    NotFixed,
}

/// An exact fraction of two whole numbers, always in lowest terms.
///
/// Arithmetic is by methods that answer `Err` instead of wrapping, and nothing rounds except
/// [`Exact::rounded_to`], whose mode is named by the caller. As text it is a plain decimal where one exists and
/// `numerator/denominator` where none does, so the text is always the whole truth:
///
/// ```
/// use kernel::Exact;
/// assert_eq!(Exact::fraction(119, 2).to_string(), "59.5");
/// assert_eq!(Exact::fraction(119, 3).to_string(), "119/3");
/// assert_eq!("119/3".parse::<Exact>()?, Exact::fraction(119, 3));
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
// The denominator has at most 127 bits and no divisor in common with the numerator, so equal values have equal parts.
// Since it is never nothing, an `Option` of a fraction is no larger than a fraction.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exact {
    numerator: i128,
    denominator: NonZeroU128,
}

impl Exact {
    /// Nothing.
    pub const ZERO: Self = Self::of(0);
    /// One.
    pub const ONE: Self = Self::of(1);

    /// A whole number.
    ///
    /// ```
    /// assert_eq!(kernel::Exact::of(12).to_string(), "12");
    /// ```
    #[must_use]
    pub const fn of(whole: i128) -> Self {
        Self { numerator: whole, denominator: NonZeroU128::MIN }
    }

    /// Parts that have no common divisor. No denominator is ever nothing; one that were would be read as 1.
    #[inline]
    const fn of_parts(numerator: i128, denominator: u128) -> Self {
        match NonZeroU128::new(denominator) {
            Some(denominator) => Self { numerator, denominator },
            None => Self::of(numerator),
        }
    }

    /// A fraction in lowest terms, for constants whose denominator is written in the source.
    ///
    /// # Panics
    ///
    /// When `denominator` is not positive; in a `const` that is a compile error.
    ///
    /// ```
    /// use kernel::Exact;
    /// const KERF: Exact = Exact::fraction(904_762, 1_000_000);
    /// assert_eq!(KERF.to_string(), "0.904762");
    /// ```
    #[must_use]
    pub const fn fraction(numerator: i128, denominator: i128) -> Self {
        assert!(denominator > 0, "a constant fraction needs a positive denominator");
        let (mut left, mut right) = (numerator.unsigned_abs(), denominator.unsigned_abs());
        while right != 0 {
            (left, right) = (right, left % right);
        }
        Self::of_parts(numerator / left.cast_signed(), denominator.unsigned_abs() / left)
    }

    /// A count of millionths, in lowest terms: how every measured size enters a computation.
    #[inline]
    pub(crate) fn of_millionths(millionths: i64) -> Self {
        let whole = millionths / Fixed::STEPS_PER_UNIT;
        if whole * Fixed::STEPS_PER_UNIT == millionths {
            return Self::of(i128::from(whole));
        }
        let steps = Fixed::STEPS_PER_UNIT.unsigned_abs();
        let common = divisor::of_words(millionths.unsigned_abs(), steps);
        let numerator = i128::from(millionths.unsigned_abs() / common);
        let numerator = if millionths < 0 { -numerator } else { numerator };
        Self::of_parts(numerator, u128::from(steps / common))
    }

    /// Sum.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Exact;
    /// assert_eq!(Exact::fraction(1, 3).plus(Exact::fraction(1, 6))?, Exact::fraction(1, 2));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[inline]
    pub fn plus(self, other: Self) -> Result<Self, NumberError> {
        if let (Some(left), Some(right)) = (self.words(), other.whole_word()) {
            // A whole number changes nothing about what the parts have in common.
            let whole = i128::from(right) * i128::from(left.denominator);
            let numerator = i128::from(left.numerator) + whole;
            return Ok(Self { numerator, ..self });
        }
        arithmetic::sum(self, Sign::Plus, other)
    }

    /// Difference.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Exact;
    /// assert_eq!(Exact::ONE.minus(Exact::fraction(1, 3))?, Exact::fraction(2, 3));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[inline]
    pub fn minus(self, other: Self) -> Result<Self, NumberError> {
        if let (Some(left), Some(right)) = (self.words(), other.whole_word()) {
            // A whole number changes nothing about what the parts have in common.
            let whole = i128::from(right) * i128::from(left.denominator);
            let numerator = i128::from(left.numerator) - whole;
            return Ok(Self { numerator, ..self });
        }
        arithmetic::sum(self, Sign::Minus, other)
    }

    /// Product.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Exact;
    /// assert_eq!(Exact::of(6).times(Exact::fraction(1, 4))?, Exact::fraction(3, 2));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[inline]
    pub fn times(self, other: Self) -> Result<Self, NumberError> {
        if let (Some(left), Some(right)) = (self.whole_word(), other.whole_word()) {
            return Ok(Self::of(i128::from(left) * i128::from(right)));
        }
        arithmetic::product(self, other)
    }

    /// Quotient.
    ///
    /// # Errors
    ///
    /// [`NumberError::DividedByZero`] or [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::{Exact, NumberError};
    /// assert_eq!(Exact::of(8).over(Exact::of(12))?, Exact::fraction(2, 3));
    /// assert_eq!(Exact::ONE.over(Exact::ZERO), Err(NumberError::DividedByZero));
    /// # Ok::<(), NumberError>(())
    /// ```
    #[inline]
    pub fn over(self, divisor: Self) -> Result<Self, NumberError> {
        if divisor.is_zero() {
            return Err(NumberError::DividedByZero);
        }
        if self.is_zero() {
            return Ok(Self::ZERO);
        }
        arithmetic::quotient(self, divisor)
    }

    /// The value times itself.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// assert_eq!(kernel::Exact::of(16).squared()?, kernel::Exact::of(256));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[inline]
    pub fn squared(self) -> Result<Self, NumberError> {
        if let Some(Words { numerator, denominator }) = self.words() {
            // Parts without a common divisor have squares without one.
            let side = i128::from(numerator);
            let denominator = u128::from(denominator);
            return Ok(Self::of_parts(side * side, denominator * denominator));
        }
        self.times(self)
    }

    /// The nearest multiple of `step`, by the named `mode`.
    ///
    /// # Errors
    ///
    /// [`NumberError::DividedByZero`] for a zero step, [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::{Exact, Rounding};
    /// // A quarter-inch rule printed to the nearest five board feet.
    /// let printed = Exact::fraction(15_249, 100).rounded_to(Exact::of(5), Rounding::HalfUp)?;
    /// assert_eq!(printed, Exact::of(150));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[inline]
    pub fn rounded_to(self, step: Self, mode: Rounding) -> Result<Self, NumberError> {
        if step.is_zero() {
            return Err(NumberError::DividedByZero);
        }
        nearest::multiple(self, step, mode)
    }

    /// The largest whole number not above the value.
    ///
    /// ```
    /// assert_eq!(kernel::Exact::fraction(-7, 2).floor(), -4);
    /// ```
    #[must_use]
    #[inline]
    pub const fn floor(self) -> i128 {
        match self.whole() {
            Some(whole) => whole,
            None => self.numerator.div_euclid(self.denominator.get().cast_signed()),
        }
    }

    /// The whole number it is, if it is one.
    ///
    /// ```
    /// use kernel::Exact;
    /// assert_eq!(Exact::fraction(8, 4).whole(), Some(2));
    /// assert_eq!(Exact::fraction(1, 2).whole(), None);
    /// ```
    #[must_use]
    #[inline]
    pub const fn whole(self) -> Option<i128> {
        if self.denominator.get() == 1 { Some(self.numerator) } else { None }
    }

    /// Whether it is nothing.
    ///
    /// ```
    /// assert!(kernel::Exact::ZERO.is_zero());
    /// ```
    #[must_use]
    #[inline]
    pub const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    /// Whether it is below zero.
    ///
    /// ```
    /// assert!(kernel::Exact::of(-1).is_negative());
    /// ```
    #[must_use]
    #[inline]
    pub const fn is_negative(self) -> bool {
        self.numerator < 0
    }

    /// The same value with six decimals, without rounding.
    ///
    /// # Errors
    ///
    /// [`NumberError::NotFixed`] when six decimals cannot hold it exactly, [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::{Exact, NumberError};
    /// assert_eq!(Exact::fraction(1, 8).fixed()?.to_string(), "0.125");
    /// assert_eq!(Exact::fraction(1, 3).fixed(), Err(NumberError::NotFixed));
    /// # Ok::<(), NumberError>(())
    /// ```
    pub fn fixed(self) -> Result<Fixed, NumberError> {
        let millionths = self.times(Self::of(Fixed::STEPS_PER_UNIT.into()))?;
        let whole = millionths.whole().ok_or(NumberError::NotFixed)?;
        i64::try_from(whole).map(Fixed::from_millionths).map_err(|_| NumberError::TooLarge)
    }

    /// Numerator and denominator in lowest terms; the denominator is positive.
    ///
    /// ```
    /// assert_eq!(kernel::Exact::fraction(6, 4).numerator_and_denominator(), (3, 2));
    /// ```
    #[must_use]
    pub const fn numerator_and_denominator(self) -> (i128, i128) {
        (self.numerator, self.denominator.get().cast_signed())
    }
}
