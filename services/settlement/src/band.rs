//! Bands of a size or distance: from one figure up to, but not including, another.

use std::fmt;

use kernel::Fixed;
use serde::{Deserialize, Serialize};

/// Why two figures make no [`Band`].
///
/// ```
/// use settlement::{Band, BandError};
/// assert_eq!(Band::new(None, None), Err(BandError::Unbounded));
/// assert_eq!(BandError::Unbounded.code(), "band_unbounded");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BandError {
    /// Neither end is given.
    #[error("a band needs \"from\", \"below\" or both: leave the whole band out where every size is meant")]
    Unbounded,
    /// Nothing can lie in it.
    #[error("the band from {from} below {below} is empty: \"below\" must be larger than \"from\"")]
    Empty {
        /// The lower end as given.
        from: Fixed,
        /// The upper end as given.
        below: Fixed,
    },
    /// A size or distance under zero, or nothing at all.
    #[error("a band reaches {0}: sizes and distances begin at 0, and \"below\" must be more than 0")]
    Negative(Fixed),
}

impl BandError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::BandError::Negative("-1".parse()?).code(), "band_negative");
    /// # Ok::<(), kernel::NumberTextError>(())
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Unbounded => "band_unbounded",
            Self::Empty { .. } => "band_empty",
            Self::Negative(_) => "band_negative",
        }
    }
}

/// Sizes or distances from one figure (which belongs to it) up to another (which does not).
///
/// Bands that follow one another share a figure: from 8 below 12, from 12 below 16. A 12-inch log is in the second.
/// That the lower end belongs to the band is our fixed reading (common practice, no source).
///
/// ```
/// use settlement::Band;
/// let band: Band = serde_json::from_str(r#"{"from": "8", "below": "12"}"#)?;
/// assert!(band.contains("8".parse()?));
/// assert!(!band.contains("12".parse()?));
/// assert_eq!(band.to_string(), "from 8 below 12");
/// assert!(serde_json::from_str::<Band>(r#"{"from": "12", "below": "8"}"#).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "Ends", into = "Ends", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Band {
    /// The smallest figure in the band; without it the band begins at 0.
    from: Option<Fixed>,
    /// The first figure past the band; without it the band has no upper end.
    below: Option<Fixed>,
}

/// The two ends as they are written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    from: Option<Fixed>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    below: Option<Fixed>,
}

impl Band {
    /// The band between two ends, at least one of which must be given.
    ///
    /// # Errors
    ///
    /// [`BandError`] when neither end is given, when nothing can lie in the band, or when it reaches under 0.
    ///
    /// ```
    /// use settlement::Band;
    /// assert!(Band::new(Some("8".parse()?), None)?.contains("40".parse()?));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(from: Option<Fixed>, below: Option<Fixed>) -> Result<Self, BandError> {
        if let Some(from) = from.filter(|from| from.is_negative()) {
            return Err(BandError::Negative(from));
        }
        match (from, below) {
            (None, None) => Err(BandError::Unbounded),
            (None, Some(below)) if below <= Fixed::ZERO => Err(BandError::Negative(below)),
            (Some(from), Some(below)) if from >= below => Err(BandError::Empty { from, below }),
            _ => Ok(Self { from, below }),
        }
    }

    /// The lower end, which belongs to the band.
    ///
    /// ```
    /// let band = settlement::Band::new(None, Some("12".parse()?))?;
    /// assert_eq!(band.from(), None);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn from(self) -> Option<Fixed> {
        self.from
    }

    /// The upper end, which does not belong to the band.
    ///
    /// ```
    /// let band = settlement::Band::new(None, Some("12".parse()?))?;
    /// assert_eq!(band.below(), Some("12".parse()?));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn below(self) -> Option<Fixed> {
        self.below
    }

    /// Whether a figure lies in the band.
    ///
    /// ```
    /// let band = settlement::Band::new(Some("300".parse()?), Some("600".parse()?))?;
    /// assert!(band.contains("599.999999".parse()?) && !band.contains("600".parse()?));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn contains(self, figure: Fixed) -> bool {
        self.from.is_none_or(|from| from <= figure) && self.below.is_none_or(|below| figure < below)
    }

    /// What lies in both bands, if anything does.
    ///
    /// ```
    /// use settlement::Band;
    /// let small = Band::new(None, Some("12".parse()?))?;
    /// let middling = Band::new(Some("10".parse()?), Some("16".parse()?))?;
    /// let large = Band::new(Some("12".parse()?), None)?;
    /// assert_eq!(small.common(middling), Some(Band::new(Some("10".parse()?), Some("12".parse()?))?));
    /// assert_eq!(small.common(large), None);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn common(self, other: Self) -> Option<Self> {
        let from = self.from.max(other.from);
        let below = match (self.below, other.below) {
            (Some(one), Some(two)) => Some(one.min(two)),
            (one, two) => one.or(two),
        };
        Self::new(from, below).ok()
    }
}

impl TryFrom<Ends> for Band {
    type Error = BandError;

    fn try_from(ends: Ends) -> Result<Self, Self::Error> {
        Self::new(ends.from, ends.below)
    }
}

impl From<Band> for Ends {
    fn from(band: Band) -> Self {
        Self { from: band.from, below: band.below }
    }
}

impl fmt::Display for Band {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from, self.below) {
            (Some(from), Some(below)) => write!(formatter, "from {from} below {below}"),
            (Some(from), None) => write!(formatter, "from {from}"),
            (None, Some(below)) => write!(formatter, "below {below}"),
            (None, None) => formatter.write_str("any"),
        }
    }
}
