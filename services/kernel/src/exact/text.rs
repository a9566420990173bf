//! Fractions as text: a plain decimal where one exists, otherwise numerator and denominator.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Exact;
use super::arithmetic::Words;
use super::digits::Digits;
use crate::Fixed;
use crate::text::{self, NumberTextError};

/// How many decimals write a fraction with this denominator, if a finite number does.
fn decimals_needed(denominator: u128) -> Option<u32> {
    let twos = denominator.trailing_zeros();
    let mut rest = denominator >> twos;
    let mut fives = 0;
    while rest.is_multiple_of(5) {
        rest /= 5;
        fives += 1;
    }
    (rest == 1).then_some(twos.max(fives))
}

impl Exact {
    /// The text of a number whose digits with and without the point fit a word, as those of nearly all do.
    fn text_in_words(self) -> Option<Digits> {
        let Words { numerator, denominator } = self.words()?;
        let (magnitude, mut text) = (numerator.unsigned_abs(), Digits::new());
        if denominator == 1 {
            text.number(magnitude);
        } else if let Some(places) = decimals_needed(denominator.into()) {
            let scale = 10_u64.checked_pow(places)?;
            let digits = magnitude.checked_mul(scale / denominator)?;
            text.padded(digits % scale, places);
            text.mark(b'.');
            text.number(digits / scale);
        } else {
            text.number(denominator);
            text.mark(b'/');
            text.number(magnitude);
        }
        if numerator < 0 {
            text.mark(b'-');
        }
        Some(text)
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(text) = self.text_in_words() {
            return formatter.write_str(text.as_str());
        }
        let (numerator, denominator) = self.numerator_and_denominator();
        let decimal = decimals_needed(denominator.unsigned_abs()).and_then(|places| {
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
