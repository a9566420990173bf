//! Terms of log scaling that hold several numbers.

use kernel::{Exact, NumberError};
use serde::{Deserialize, Serialize};

use super::words::{AtLimit, SmallTop};
use crate::{Centimetres, Feet, Inches, Metres, RoundTo, TrimCentimetres, member};

/// The least top of a log: its narrow way at the small end, as read and not rounded.
///
/// The Idaho Board of Scaling Practices has 6 inches nominal, stated as 5.51 actual, and reads a stick marked at
/// the half inch, by which exactly 5.50 counts as 6. So whether exactly the limit is in or out is a term.
///
/// ```
/// let least: scaling::LeastTop =
///     serde_json::from_str(r#"{"narrow_way_in": "5.5", "exactly": "out", "below": "cut_back"}"#)?;
/// assert!(!least.met_by("5.5".parse()?) && least.met_by("5.51".parse()?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LeastTop {
    /// The limit, in inches.
    #[serde(deserialize_with = "member::narrow_way_in")]
    pub narrow_way_in: Inches,
    /// Whether exactly the limit is large enough. Default in.
    #[serde(default)]
    pub exactly: AtLimit,
    /// What becomes of a log below it. Default cull.
    #[serde(default)]
    pub below: SmallTop,
}

impl LeastTop {
    /// Whether a top of this narrow way is large enough.
    #[must_use]
    pub fn met_by(&self, narrow_way_in: Exact) -> bool {
        let limit = self.narrow_way_in.exact();
        narrow_way_in > limit || (narrow_way_in == limit && self.exactly == AtLimit::In)
    }
}

/// An assumed taper: so many inches of diameter in so many feet of length.
///
/// ```
/// let taper: scaling::AssumedTaper = serde_json::from_str(r#"{"inches": "1", "feet": "10"}"#)?;
/// assert_eq!(taper.inches_a_foot()?, kernel::Exact::fraction(1, 10));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AssumedTaper {
    /// Inches of diameter.
    #[serde(deserialize_with = "member::inches")]
    pub inches: Inches,
    /// Feet of length.
    #[serde(deserialize_with = "member::feet")]
    pub feet: Feet,
}

impl AssumedTaper {
    /// How much the diameter grows in a foot, in inches.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn inches_a_foot(&self) -> Result<Exact, NumberError> {
        self.inches.exact().over(self.feet.exact())
    }
}

/// The least board that counts as saved: what a defect leaves over of a board is lost where it is shorter or
/// narrower. The Forest Service's handbook has 6 feet by 4 inches for softwood (FSH 2409.11 ch. 20, 1985).
///
/// ```
/// let least: scaling::LeastBoard = serde_json::from_str(r#"{"length_ft": "6", "width_in": "4"}"#)?;
/// assert_eq!(least.length_ft.to_string(), "6");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LeastBoard {
    /// Its length, in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Its width, in inches.
    #[serde(deserialize_with = "member::width_in")]
    pub width_in: Inches,
}

/// How a metric contract reads its logs. Everything left out is taken as measured.
///
/// ```
/// let terms: scaling::MetricTerms = serde_json::from_str(
///     r#"{"diameter_rounding_cm": {"step": "1", "mode": "down"}, "least_trim_cm": "5"}"#,
/// )?;
/// assert!(terms.length_rounding_m.is_none());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MetricTerms {
    /// How a diameter, or the average of two readings, is rounded, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::diameter_rounding_cm",
        skip_serializing_if = "Option::is_none"
    )]
    pub diameter_rounding_cm: Option<RoundTo>,
    /// How the length less its trim is rounded, in metres.
    #[serde(
        default,
        deserialize_with = "member::length_rounding_m",
        skip_serializing_if = "Option::is_none"
    )]
    pub length_rounding_m: Option<RoundTo>,
    /// The trim taken off the measured length before it is rounded, in centimetres.
    #[serde(default, deserialize_with = "member::least_trim_cm", skip_serializing_if = "Option::is_none")]
    pub least_trim_cm: Option<TrimCentimetres>,
    /// The least scaling diameter, in centimetres; below it the log is cull.
    #[serde(
        default,
        deserialize_with = "member::least_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    pub least_diameter_cm: Option<Centimetres>,
    /// The least scaling length, in metres; below it the log is cull.
    #[serde(default, deserialize_with = "member::least_length_m", skip_serializing_if = "Option::is_none")]
    pub least_length_m: Option<Metres>,
}
