//! The heights of a ranked pile, read at one place along it or at several.

use kernel::{Exact, NumberError};
use serde::{Deserialize, Serialize};

use super::total_feet;
use crate::{Feet, FurtherInches, Metres, member};

/// One height of a pile, in feet and perhaps further inches.
///
/// ```
/// use scaling::PileHeight;
/// let height: PileHeight = serde_json::from_str(r#"{"feet": "4", "inches": "3"}"#)?;
/// assert_eq!(height.total_feet()?, kernel::Exact::fraction(17, 4));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PileHeight {
    /// Feet.
    #[serde(deserialize_with = "member::feet")]
    pub feet: Feet,
    /// Further inches.
    #[serde(default, deserialize_with = "member::inches", skip_serializing_if = "Option::is_none")]
    pub inches: Option<FurtherInches>,
}

impl PileHeight {
    /// The whole height in feet.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn total_feet(self) -> Result<Exact, NumberError> {
        total_feet(self.feet, self.inches)
    }
}

/// One to twenty heights of one pile, in the order in which they were read.
///
/// ```
/// use scaling::{Heights, Metres};
/// let heights: Heights<Metres> = serde_json::from_str(r#"["1.2", "1.25", "1.15"]"#)?;
/// assert_eq!(heights.average()?, kernel::Exact::fraction(6, 5));
/// assert!(serde_json::from_str::<Heights<Metres>>("[]").is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(
    try_from = "Vec<Size>",
    into = "Vec<Size>",
    bound(serialize = "Size: Clone + Serialize", deserialize = "Size: Deserialize<'de>")
)]
pub struct Heights<Size>(Vec<Size>);

/// No height, or more than anybody reads off one pile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} heights were given: give at least 1 and at most {most}", most = Heights::<Metres>::MOST)]
pub struct HeightsError(usize);

impl<Size> Heights<Size> {
    /// How many heights there may be.
    pub const MOST: usize = 20;

    /// The heights, in order.
    #[must_use]
    pub fn as_slice(&self) -> &[Size] {
        &self.0
    }

    /// The sum over the count, not rounded.
    fn mean(&self, whole: impl Fn(&Size) -> Result<Exact, NumberError>) -> Result<Exact, NumberError> {
        let (sum, count) = self.0.iter().try_fold((Exact::ZERO, Exact::ZERO), |(sum, count), height| {
            Ok((sum.plus(whole(height)?)?, count.plus(Exact::ONE)?))
        })?;
        sum.over(count)
    }
}

impl Heights<PileHeight> {
    /// The mean of the heights in feet, not rounded.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    ///
    /// ```
    /// use scaling::{Heights, PileHeight};
    /// let heights: Heights<PileHeight> =
    ///     serde_json::from_str(r#"[{"feet": "4"}, {"feet": "4", "inches": "2"}, {"feet": "3", "inches": "9"}]"#)?;
    /// assert_eq!(heights.average()?, kernel::Exact::fraction(143, 36)); // 3 feet 11 2/3 inches
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn average(&self) -> Result<Exact, NumberError> {
        self.mean(|height| height.total_feet())
    }
}

impl Heights<Metres> {
    /// The mean of the heights in metres, not rounded.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn average(&self) -> Result<Exact, NumberError> {
        self.mean(|height| Ok(height.exact()))
    }
}

impl<Size> TryFrom<Vec<Size>> for Heights<Size> {
    type Error = HeightsError;

    fn try_from(heights: Vec<Size>) -> Result<Self, HeightsError> {
        if heights.is_empty() || heights.len() > Self::MOST {
            return Err(HeightsError(heights.len()));
        }
        Ok(Self(heights))
    }
}

impl<Size> From<Heights<Size>> for Vec<Size> {
    fn from(heights: Heights<Size>) -> Self {
        heights.0
    }
}
