//! A percentage that a tolerance states.

use std::fmt;

use kernel::Fixed;
use serde::{Deserialize, Serialize};

/// A percentage from 0 to 100.
///
/// ```
/// use audit::AllowedPercent;
/// let two: AllowedPercent = serde_json::from_str("\"2.5\"")?;
/// assert_eq!(two.fixed().to_string(), "2.5");
/// assert!(serde_json::from_str::<AllowedPercent>("\"101\"").is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "Fixed", into = "Fixed")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(value_type = Fixed))]
pub struct AllowedPercent(Fixed);

/// What is no percentage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} is no percentage: write a number from 0 to 100")]
pub struct AllowedPercentError(Fixed);

impl AllowedPercent {
    /// So many percent, for the tolerances that this crate knows.
    pub(crate) const fn whole(percent: i64) -> Self {
        Self(Fixed::from_millionths(percent * Fixed::STEPS_PER_UNIT))
    }

    /// The number.
    #[must_use]
    pub const fn fixed(self) -> Fixed {
        self.0
    }
}

impl TryFrom<Fixed> for AllowedPercent {
    type Error = AllowedPercentError;

    fn try_from(percent: Fixed) -> Result<Self, AllowedPercentError> {
        let most = Fixed::from_millionths(100 * Fixed::STEPS_PER_UNIT);
        if percent.is_negative() || percent > most {
            return Err(AllowedPercentError(percent));
        }
        Ok(Self(percent))
    }
}

impl From<AllowedPercent> for Fixed {
    fn from(percent: AllowedPercent) -> Self {
        percent.0
    }
}

impl fmt::Display for AllowedPercent {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, formatter)
    }
}
