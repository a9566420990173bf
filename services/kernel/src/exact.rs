//! Exact fractions: what every volume, share and regular rate is computed in.

use std::fmt;
use std::str::FromStr;

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, Zero};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::text::{self, NumberTextError};
use crate::{Fixed, Rounding};

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
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Exact(Ratio<i128>);

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
        Self(Ratio::new_raw(whole, 1))
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
        let common = left.cast_signed();
        Self(Ratio::new_raw(numerator / common, denominator / common))
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
    pub fn plus(self, other: Self) -> Result<Self, NumberError> {
        self.0.checked_add(&other.0).map(Self).ok_or(NumberError::TooLarge)
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
    pub fn minus(self, other: Self) -> Result<Self, NumberError> {
        self.0.checked_sub(&other.0).map(Self).ok_or(NumberError::TooLarge)
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
    pub fn times(self, other: Self) -> Result<Self, NumberError> {
        self.0.checked_mul(&other.0).map(Self).ok_or(NumberError::TooLarge)
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
    pub fn over(self, divisor: Self) -> Result<Self, NumberError> {
        if divisor.0.is_zero() {
            return Err(NumberError::DividedByZero);
        }
        self.0.checked_div(&divisor.0).map(Self).ok_or(NumberError::TooLarge)
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
    pub fn squared(self) -> Result<Self, NumberError> {
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
    pub fn rounded_to(self, step: Self, mode: Rounding) -> Result<Self, NumberError> {
        let steps = self.over(step)?;
        let below = steps.0.abs().floor();
        let past = Self(steps.0.abs()).minus(Self(below))?;
        let half = past.cmp(&Self::fraction(1, 2));
        let odd = below.to_integer() % 2 != 0;
        let away = match mode {
            Rounding::Down => false,
            Rounding::Up => !past.is_zero(),
            Rounding::HalfUp => half.is_ge(),
            Rounding::HalfDown => half.is_gt(),
            Rounding::HalfEven => half.is_gt() || (half.is_eq() && odd),
        };
        let whole = if away { Self(below).plus(Self::ONE)? } else { Self(below) };
        let signed = if steps.is_negative() { Self::ZERO.minus(whole)? } else { whole };
        signed.times(step)
    }

    /// The largest whole number not above the value.
    ///
    /// ```
    /// assert_eq!(kernel::Exact::fraction(-7, 2).floor(), -4);
    /// ```
    #[must_use]
    pub fn floor(self) -> i128 {
        self.0.floor().to_integer()
    }

    /// The whole number it is, if it is one.
    ///
    /// ```
    /// use kernel::Exact;
    /// assert_eq!(Exact::fraction(8, 4).whole(), Some(2));
    /// assert_eq!(Exact::fraction(1, 2).whole(), None);
    /// ```
    #[must_use]
    pub fn whole(self) -> Option<i128> {
        self.0.is_integer().then(|| self.0.to_integer())
    }

    /// Whether it is nothing.
    ///
    /// ```
    /// assert!(kernel::Exact::ZERO.is_zero());
    /// ```
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Whether it is below zero.
    ///
    /// ```
    /// assert!(kernel::Exact::of(-1).is_negative());
    /// ```
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.0.is_negative()
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
    pub fn numerator_and_denominator(self) -> (i128, i128) {
        (*self.0.numer(), *self.0.denom())
    }
}

/// How many decimals write a fraction with this denominator, if a finite number does.
fn decimals_needed(mut denominator: i128) -> Option<u32> {
    let (mut twos, mut fives) = (0, 0);
    while denominator % 2 == 0 {
        denominator /= 2;
        twos += 1;
    }
    while denominator % 5 == 0 {
        denominator /= 5;
        fives += 1;
    }
    (denominator == 1).then_some(twos.max(fives))
}

impl fmt::Display for Exact {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (numerator, denominator) = self.numerator_and_denominator();
        let decimal = decimals_needed(denominator).and_then(|places| {
            let scale = 10_i128.checked_pow(places)?;
            let digits = numerator.checked_mul(scale / denominator)?;
            Some((places, scale, digits))
        });
        match decimal {
            Some((0, ..)) => write!(formatter, "{numerator}"),
            Some((places, scale, digits)) => {
                let sign = if digits < 0 { "-" } else { "" };
                let (digits, scale) = (digits.unsigned_abs(), scale.unsigned_abs());
                let width = usize::try_from(places).unwrap_or(0);
                write!(formatter, "{sign}{}.{:0width$}", digits / scale, digits % scale)
            }
            None => write!(formatter, "{numerator}/{denominator}"),
        }
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Exact({self})")
    }
}

impl FromStr for Exact {
    type Err = NumberTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let too_large = || NumberTextError::TooLarge(text::shortened(text));
        let decimal = |part: &str| -> Result<Self, NumberTextError> {
            let parts = text::parts(part)?;
            let places = u32::try_from(parts.decimals.len()).map_err(|_| too_large())?;
            let scale = 10_i128.checked_pow(places).ok_or_else(too_large)?;
            let digits: i128 =
                format!("{}{}", parts.whole, parts.decimals).parse().map_err(|_| too_large())?;
            Self::of(if parts.negative { -digits } else { digits })
                .over(Self::of(scale))
                .map_err(|_| too_large())
        };
        match text.split_once('/') {
            Some((above, below)) => decimal(above)?
                .over(decimal(below)?)
                .map_err(|_| NumberTextError::NotPlain(text::shortened(text))),
            None => decimal(text),
        }
    }
}

impl From<Fixed> for Exact {
    fn from(value: Fixed) -> Self {
        value.exact()
    }
}

impl Serialize for Exact {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Exact {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        crate::fixed::number_text(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}
