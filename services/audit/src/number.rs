//! Exact fractions without a bound, for sums of squares that outgrow what measured sizes and pay are computed in.

use std::fmt;

use kernel::{Exact, Fixed, Rounding};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};

/// Why a statistic cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StatisticError {
    /// There are not enough values.
    #[error("{needed} values are needed, and there are {found}")]
    TooFew {
        /// How many it takes.
        needed: u64,
        /// How many there are.
        found: u64,
    },
    /// What the figure would be divided by is nothing.
    #[error("it would be divided by nothing")]
    DividedByZero,
    /// A sample larger than all there is.
    #[error("a sample of {sample} cannot come out of {population}")]
    SampleExceedsAll {
        /// How many were sampled.
        sample: u64,
        /// How many there are in all.
        population: u64,
    },
    /// The result does not fit the form in which figures are shown.
    #[error("the figure is too large to be shown")]
    TooLarge,
}

/// An exact fraction of any size.
///
/// ```
/// use audit::Number;
/// let third = Number::whole(1).over(&Number::whole(3))?;
/// assert_eq!(third.plus(&third).shown(6)?.to_string(), "0.666667");
/// assert_eq!(Number::whole(2).square_root(4)?.to_string(), "1.4142");
/// # Ok::<(), audit::StatisticError>(())
/// ```
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Number(BigRational);

impl Number {
    /// A whole number.
    ///
    /// ```
    /// assert!(audit::Number::whole(-2) < audit::Number::whole(1));
    /// ```
    #[must_use]
    pub fn whole(whole: i128) -> Self {
        Self(BigRational::from_integer(BigInt::from(whole)))
    }

    /// How many things there are.
    pub(crate) fn count(count: u64) -> Self {
        Self::whole(i128::from(count))
    }

    /// Sum.
    ///
    /// ```
    /// use audit::Number;
    /// assert_eq!(Number::whole(2).plus(&Number::whole(3)), Number::whole(5));
    /// ```
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self(&self.0 + &other.0)
    }

    /// Difference.
    ///
    /// ```
    /// use audit::Number;
    /// assert_eq!(Number::whole(2).minus(&Number::whole(3)), Number::whole(-1));
    /// ```
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        Self(&self.0 - &other.0)
    }

    /// Product.
    ///
    /// ```
    /// use audit::Number;
    /// assert_eq!(Number::whole(2).times(&Number::whole(3)), Number::whole(6));
    /// ```
    #[must_use]
    pub fn times(&self, other: &Self) -> Self {
        Self(&self.0 * &other.0)
    }

    /// Quotient.
    ///
    /// # Errors
    ///
    /// [`StatisticError::DividedByZero`].
    ///
    /// ```
    /// use audit::{Number, StatisticError};
    /// assert_eq!(Number::whole(6).over(&Number::whole(3))?, Number::whole(2));
    /// assert_eq!(Number::whole(6).over(&Number::whole(0)), Err(StatisticError::DividedByZero));
    /// # Ok::<(), StatisticError>(())
    /// ```
    pub fn over(&self, divisor: &Self) -> Result<Self, StatisticError> {
        if divisor.0.is_zero() { Err(StatisticError::DividedByZero) } else { Ok(Self(&self.0 / &divisor.0)) }
    }

    /// The value times itself.
    #[must_use]
    pub fn squared(&self) -> Self {
        self.times(self)
    }

    /// The value without its sign.
    ///
    /// ```
    /// assert_eq!(audit::Number::whole(-4).magnitude(), audit::Number::whole(4));
    /// ```
    #[must_use]
    pub fn magnitude(&self) -> Self {
        Self(self.0.abs())
    }

    /// Whether it is nothing.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        self.0.is_zero()
    }

    /// The value to `places` decimals, 6 at the most, halves away from zero.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooLarge`] beyond about nine million million.
    ///
    /// ```
    /// use audit::Number;
    /// let share = Number::whole(-5).over(&Number::whole(8))?; // -0.625
    /// assert_eq!(share.shown(2)?.to_string(), "-0.63");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn shown(&self, places: u8) -> Result<Fixed, StatisticError> {
        let places = places.min(MOST_PLACES);
        fixed(&(&self.0 * ten_to(places)).round().to_integer(), places)
    }

    /// The same with the rounding named by the caller.
    ///
    /// # Errors
    ///
    /// As [`Number::shown`].
    ///
    /// ```
    /// use audit::Number;
    /// use kernel::Rounding;
    /// let logs = Number::whole(983).over(&Number::whole(10))?; // 98.3
    /// assert_eq!(logs.shown_rounded(0, Rounding::Up)?.to_string(), "99");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn shown_rounded(&self, places: u8, mode: Rounding) -> Result<Fixed, StatisticError> {
        let places = places.min(MOST_PLACES);
        let scaled = &self.0 * ten_to(places);
        let towards_zero = scaled.trunc();
        let left = (&scaled - &towards_zero).abs();
        let half = BigRational::new(BigInt::from(1), BigInt::from(2));
        let even = (towards_zero.to_integer() % BigInt::from(2)).is_zero();
        let up = match mode {
            Rounding::Down => false,
            Rounding::Up => !left.is_zero(),
            Rounding::HalfUp => left >= half,
            Rounding::HalfDown => left > half,
            Rounding::HalfEven => left > half || (left == half && !even),
        };
        let step = if up { scaled.signum().to_integer() } else { BigInt::zero() };
        fixed(&(towards_zero.to_integer() + step), places)
    }

    /// The square root to `places` decimals, 6 at the most, halves away from zero. Found by the whole square root of the
    /// scaled fraction, so that every digit is right.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooLarge`], also for what is below zero and has no square root.
    ///
    /// ```
    /// assert_eq!(audit::Number::whole(144).square_root(6)?.to_string(), "12");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn square_root(&self, places: u8) -> Result<Fixed, StatisticError> {
        if self.0.is_negative() {
            return Err(StatisticError::TooLarge);
        }
        let places = places.min(MOST_PLACES);
        let scale = ten_to(places);
        // The whole root of four times the scaled square is twice the scaled root, its fraction dropped; half of that,
        // rounded, is the scaled root to the nearest.
        let four_times = &self.0 * &scale * &scale * BigInt::from(4);
        let twice = four_times.to_integer().sqrt();
        fixed(&((twice + 1) / 2), places)
    }
}

/// As many decimals as a [`Fixed`] has.
const MOST_PLACES: u8 = 6;

fn ten_to(places: u8) -> BigInt {
    BigInt::from(10).pow(u32::from(places))
}

fn fixed(steps: &BigInt, places: u8) -> Result<Fixed, StatisticError> {
    let millionths = steps * ten_to(MOST_PLACES.saturating_sub(places));
    millionths.to_i64().map(Fixed::from_millionths).ok_or(StatisticError::TooLarge)
}

impl From<Fixed> for Number {
    fn from(value: Fixed) -> Self {
        value.exact().into()
    }
}

impl From<Exact> for Number {
    fn from(value: Exact) -> Self {
        let (numerator, denominator) = value.numerator_and_denominator();
        Self(BigRational::new(BigInt::from(numerator), BigInt::from(denominator)))
    }
}

impl fmt::Display for Number {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, formatter)
    }
}

impl fmt::Debug for Number {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, formatter)
    }
}
