//! One reading across a log, or two at right angles.

use kernel::{Exact, NumberError};
use serde::{Deserialize, Serialize};

use crate::Inches;

/// One or two readings of the same diameter, in inches; of an oblong log the narrow way and across it.
///
/// ```
/// use scaling::Readings;
/// let readings: Readings = serde_json::from_str(r#"["8", "13"]"#)?;
/// assert_eq!(readings.average()?, kernel::Exact::fraction(21, 2));
/// assert!(serde_json::from_str::<Readings>("[]").is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Inches>", into = "Vec<Inches>")]
pub struct Readings {
    first: Inches,
    second: Option<Inches>,
}

/// Not one or two readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} readings were given: give one, or two at right angles")]
pub struct ReadingsError(usize);

impl Readings {
    /// A single reading.
    #[must_use]
    pub const fn one(reading: Inches) -> Self {
        Self { first: reading, second: None }
    }

    /// Two readings at right angles.
    ///
    /// ```
    /// use scaling::Readings;
    /// let readings = Readings::two("15".parse()?, "18".parse()?);
    /// assert_eq!(readings.average()?.to_string(), "16.5");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn two(first: Inches, second: Inches) -> Self {
        Self { first, second: Some(second) }
    }

    /// The first reading.
    #[must_use]
    pub const fn first(self) -> Inches {
        self.first
    }

    /// The reading at right angles to the first, if one was taken.
    #[must_use]
    pub const fn second(self) -> Option<Inches> {
        self.second
    }

    /// The only reading, or half the sum of the two, not rounded.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn average(self) -> Result<Exact, NumberError> {
        match self.second {
            Some(second) => self.first.exact().plus(second.exact())?.over(Exact::of(2)),
            None => Ok(self.first.exact()),
        }
    }
}

impl TryFrom<Vec<Inches>> for Readings {
    type Error = ReadingsError;

    fn try_from(readings: Vec<Inches>) -> Result<Self, ReadingsError> {
        match readings.as_slice() {
            [first] => Ok(Self::one(*first)),
            [first, second] => Ok(Self::two(*first, *second)),
            other => Err(ReadingsError(other.len())),
        }
    }
}

impl From<Readings> for Vec<Inches> {
    fn from(readings: Readings) -> Self {
        [Some(readings.first), readings.second].into_iter().flatten().collect()
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
