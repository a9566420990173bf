//! The length that a contract's sticks count by, where it is not the one measured.

use serde::{Deserialize, Serialize};

use crate::{Feet, FurtherInches, Metres, TrimCentimetres, TrimInches, member};

/// What becomes of sticks shorter than the nominal length, or longer than it and its trim.
///
/// ```
/// assert_eq!(scaling::OtherSticks::default(), scaling::OtherSticks::Refused);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum OtherSticks {
    /// The pile is a problem: nobody guesses what such sticks are worth.
    #[default]
    Refused,
    /// They count by the length they measure.
    AsMeasured,
}

/// The nominal length of a contract's sticks, in feet and inches: sticks of that length, or longer by no more than the
/// trim, count by it (common practice, no source).
///
/// ```
/// use scaling::{NominalSticksFeet, OtherSticks};
/// let sticks: NominalSticksFeet = serde_json::from_str(r#"{"length_ft": "4", "most_trim_in": "4"}"#)?;
/// assert_eq!(sticks.otherwise, OtherSticks::Refused);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct NominalSticksFeet {
    /// The nominal length, in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Further inches of the nominal length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// How much longer a stick may be and still count by the nominal length, in inches.
    #[serde(deserialize_with = "member::most_trim_in")]
    pub most_trim_in: TrimInches,
    /// What becomes of other sticks. Default refused.
    #[serde(default, deserialize_with = "member::otherwise")]
    pub otherwise: OtherSticks,
}

/// The same in metres.
///
/// ```
/// use scaling::{NominalSticksMetres, OtherSticks};
/// let sticks: NominalSticksMetres =
///     serde_json::from_str(r#"{"length_m": "1", "most_trim_cm": "5", "otherwise": "as_measured"}"#)?;
/// assert_eq!(sticks.otherwise, OtherSticks::AsMeasured);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct NominalSticksMetres {
    /// The nominal length, in metres.
    #[serde(deserialize_with = "member::length_m")]
    pub length_m: Metres,
    /// How much longer a stick may be and still count by the nominal length, in centimetres.
    #[serde(deserialize_with = "member::most_trim_cm")]
    pub most_trim_cm: TrimCentimetres,
    /// What becomes of other sticks. Default refused.
    #[serde(default, deserialize_with = "member::otherwise")]
    pub otherwise: OtherSticks,
}
