//! Decimals with at most six places: measured sizes, stored volumes, prices.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::exact::digits::Digits;
use crate::text::{self, NumberTextError};
use crate::{Exact, NumberError};

/// A decimal number with at most six places, held exactly as a count of millionths.
///
/// This is the form in which numbers cross the edge of the service and lie in the database. On the wire it is a
/// JSON string; a JSON number is refused, since most readers pass it through binary floating point.
///
/// ```
/// use kernel::Fixed;
/// let reading: Fixed = "14.50".parse()?;
/// assert_eq!(reading.to_string(), "14.5");
/// assert_eq!(reading.millionths(), 14_500_000);
/// assert!("14,5".parse::<Fixed>().is_err());
/// assert!("1e3".parse::<Fixed>().is_err());
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Fixed(i64);

impl Fixed {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// How many steps make one.
    pub const STEPS_PER_UNIT: i64 = 1_000_000;
    /// How many digits may stand after the point.
    pub const PLACES: u32 = 6;

    /// The number that is this many millionths.
    ///
    /// ```
    /// assert_eq!(kernel::Fixed::from_millionths(250_000).to_string(), "0.25");
    /// ```
    #[must_use]
    pub const fn from_millionths(millionths: i64) -> Self {
        Self(millionths)
    }

    /// A whole number.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`] beyond about nine million million.
    ///
    /// ```
    /// assert_eq!(kernel::Fixed::whole(16)?.to_string(), "16");
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    pub fn whole(whole: i64) -> Result<Self, NumberError> {
        whole.checked_mul(Self::STEPS_PER_UNIT).map(Self).ok_or(NumberError::TooLarge)
    }

    /// The count of millionths, as the database stores it.
    #[must_use]
    pub const fn millionths(self) -> i64 {
        self.0
    }

    /// The same value as a fraction, to compute with.
    ///
    /// ```
    /// use kernel::{Exact, Fixed};
    /// assert_eq!(Fixed::from_millionths(500_000).exact(), Exact::fraction(1, 2));
    /// ```
    #[must_use]
    #[inline]
    pub fn exact(self) -> Exact {
        Exact::of_millionths(self.0)
    }

    /// Sum.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Fixed;
    /// let sum = "1.25".parse::<Fixed>()?.plus("0.75".parse()?)?;
    /// assert_eq!(sum.to_string(), "2");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[inline]
    pub fn plus(self, other: Self) -> Result<Self, NumberError> {
        self.0.checked_add(other.0).map(Self).ok_or(NumberError::TooLarge)
    }

    /// Difference.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Fixed;
    /// assert_eq!("1".parse::<Fixed>()?.minus("0.25".parse()?)?.to_string(), "0.75");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn minus(self, other: Self) -> Result<Self, NumberError> {
        self.0.checked_sub(other.0).map(Self).ok_or(NumberError::TooLarge)
    }

    /// So many times the number.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use kernel::Fixed;
    /// // Feet in inches.
    /// assert_eq!("16.5".parse::<Fixed>()?.times_whole(12)?.to_string(), "198");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[inline]
    pub fn times_whole(self, count: i64) -> Result<Self, NumberError> {
        self.0.checked_mul(count).map(Self).ok_or(NumberError::TooLarge)
    }

    /// Whether it is nothing.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Whether it is below zero.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }
}

impl Fixed {
    /// The text, as short as it can be.
    fn digits(self) -> Digits {
        let (magnitude, mut text) = (self.0.unsigned_abs(), Digits::new());
        let (whole, mut decimals, mut places) = (magnitude / 1_000_000, magnitude % 1_000_000, Self::PLACES);
        if decimals != 0 {
            while decimals.is_multiple_of(10) {
                decimals /= 10;
                places = places.saturating_sub(1);
            }
            text.padded(decimals, places);
            text.mark(b'.');
        }
        text.number(whole);
        if self.0 < 0 {
            text.mark(b'-');
        }
        text
    }
}

impl fmt::Display for Fixed {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.digits().as_str())
    }
}

impl fmt::Debug for Fixed {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Fixed({self})")
    }
}

impl FromStr for Fixed {
    type Err = NumberTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = text::parts(text)?;
        let places = usize::try_from(Self::PLACES).unwrap_or(0);
        if parts.decimals.len() > places {
            return Err(NumberTextError::TooFine(text::shortened(text), Self::PLACES));
        }
        let filled = std::iter::repeat_n(b'0', places.saturating_sub(parts.decimals.len()));
        let mut digits = parts.whole.bytes().chain(parts.decimals.bytes()).chain(filled);
        let millionths = digits.try_fold(0_i64, |sum, digit| {
            sum.checked_mul(10)?.checked_add(i64::from(digit.saturating_sub(b'0')))
        });
        let millionths = millionths.ok_or_else(|| NumberTextError::TooLarge(text::shortened(text)))?;
        Ok(Self(if parts.negative { -millionths } else { millionths }))
    }
}

impl Serialize for Fixed {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.digits().as_str())
    }
}

impl<'de> Deserialize<'de> for Fixed {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        number_text(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

/// A text holding a number; a JSON number gets an answer that says what to write instead.
pub(crate) fn number_text<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    struct Text;

    impl serde::de::Visitor<'_> for Text {
        type Value = String;

        fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
            formatter.write_str("a number written as text, such as \"14.5\" with its quotation marks")
        }

        fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<String, E> {
            Ok(text.to_owned())
        }
    }

    // `deserialize_any` so that tagged enums, which buffer their content, give the same answer.
    deserializer.deserialize_any(Text)
}
