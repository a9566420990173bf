//! One reading across a log, or two at right angles.

use kernel::{Exact, Fixed, NumberError};
use serde::{Deserialize, Serialize};

use crate::{Centimetres, Inches};

/// One or two readings of the same diameter, in inches unless said otherwise; of an oblong log the narrow way and
/// across it.
///
/// ```
/// use scaling::Readings;
/// let readings: Readings = serde_json::from_str(r#"["8", "13"]"#)?;
/// assert_eq!(readings.average()?, kernel::Exact::fraction(21, 2));
/// assert!(serde_json::from_str::<Readings>("[]").is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(
    try_from = "Vec<Size>",
    into = "Vec<Size>",
    bound(serialize = "Size: Clone + Serialize", deserialize = "Size: Copy + Deserialize<'de>")
)]
pub struct Readings<Size = Inches> {
    first: Size,
    second: Option<Size>,
}

/// Not one or two readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} readings were given: give one, or two at right angles")]
pub struct ReadingsError(usize);

impl<Size: Copy> Readings<Size> {
    /// A single reading.
    #[must_use]
    pub const fn one(reading: Size) -> Self {
        Self { first: reading, second: None }
    }

    /// Two readings at right angles.
    ///
    /// ```
    /// use scaling::{Inches, Readings};
    /// let readings = Readings::<Inches>::two("15".parse()?, "18".parse()?);
    /// assert_eq!(readings.average()?.to_string(), "16.5");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn two(first: Size, second: Size) -> Self {
        Self { first, second: Some(second) }
    }

    /// The first reading.
    #[must_use]
    pub const fn first(self) -> Size {
        self.first
    }

    /// The reading at right angles to the first, if one was taken.
    #[must_use]
    pub const fn second(self) -> Option<Size> {
        self.second
    }
}

impl<Size: Copy + Into<Fixed>> Readings<Size> {
    /// The only reading, or half the sum of the two, not rounded.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn average(self) -> Result<Exact, NumberError> {
        match self.second {
            // Decimals are added up more quickly than fractions.
            Some(second) => self.first.into().plus(second.into())?.exact().over(Exact::of(2)),
            None => Ok(self.first.into().exact()),
        }
    }

    /// The smaller of the readings: the narrow way, as far as it was measured.
    ///
    /// ```
    /// use scaling::Readings;
    /// let readings: Readings = serde_json::from_str(r#"["8", "7.5"]"#)?;
    /// assert_eq!(readings.narrow_way().to_string(), "7.5");
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn narrow_way(self) -> Exact {
        let first: Fixed = self.first.into();
        self.second.map_or(first, |second| first.min(second.into())).exact()
    }
}

impl<Size: Copy> TryFrom<Vec<Size>> for Readings<Size> {
    type Error = ReadingsError;

    fn try_from(readings: Vec<Size>) -> Result<Self, ReadingsError> {
        match readings.as_slice() {
            [first] => Ok(Self::one(*first)),
            [first, second] => Ok(Self::two(*first, *second)),
            other => Err(ReadingsError(other.len())),
        }
    }
}

impl<Size> From<Readings<Size>> for Vec<Size> {
    fn from(readings: Readings<Size>) -> Self {
        [Some(readings.first), readings.second].into_iter().flatten().collect()
    }
}

impl From<Inches> for Exact {
    fn from(size: Inches) -> Self {
        size.exact()
    }
}

impl From<Centimetres> for Exact {
    fn from(size: Centimetres) -> Self {
        size.exact()
    }
}

impl From<Inches> for Fixed {
    fn from(size: Inches) -> Self {
        size.fixed()
    }
}

impl From<Centimetres> for Fixed {
    fn from(size: Centimetres) -> Self {
        size.fixed()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Readings {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ArrayBuilder::new()
            .items(Inches::schema())
            .min_items(Some(1))
            .max_items(Some(2))
            .description(Some("One reading in inches, or two at right angles."))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Readings {}
