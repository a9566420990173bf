//! Terms of log scaling that are one word out of a few.

use kernel::Exact;
use serde::{Deserialize, Serialize};

/// The steps in which logs are cut and scaled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum LengthMultiple {
    /// Whole feet, odd lengths too: hardwood practice (common practice, no source).
    #[serde(rename = "1")]
    OneFoot,
    /// Even feet: S01, S02 of `scaling-practice` (Forest Service handbook; Idaho Board of Scaling Practices).
    #[default]
    #[serde(rename = "2")]
    TwoFeet,
}

impl LengthMultiple {
    /// The step in feet.
    ///
    /// ```
    /// assert_eq!(scaling::LengthMultiple::default().feet(), kernel::Exact::of(2));
    /// ```
    #[must_use]
    pub const fn feet(self) -> Exact {
        match self {
            Self::OneFoot => Exact::ONE,
            Self::TwoFeet => Exact::of(2),
        }
    }
}

/// The system a contract measures its logs in. Nothing converts between the two.
///
/// ```
/// assert_eq!(scaling::MeasuringSystem::default(), scaling::MeasuringSystem::InchFoot);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum MeasuringSystem {
    /// Diameters in inches, lengths in feet.
    #[default]
    InchFoot,
    /// Diameters in centimetres, lengths in metres, volumes in cubic metres.
    Metric,
}

/// What a figure may rest on.
///
/// ```
/// assert_eq!(scaling::Sources::default(), scaling::Sources::Any);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Sources {
    /// On print or on memory; the working marks what is from memory.
    #[default]
    Any,
    /// On a rule, edition or table cell seen in print: a rule from memory is refused when the terms are filed, a
    /// cell from memory when a log comes to it. Methods of deduction are not held to this, since nearly all of
    /// them are from memory; the working marks them.
    PrintOnly,
}

/// What becomes of a log past the most trim of its length class.
///
/// ```
/// assert_eq!(scaling::OverLong::default(), scaling::OverLong::NextClass);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum OverLong {
    /// It is scaled in the next class.
    #[default]
    NextClass,
    /// It stays in its class, and the working notes the improper trim.
    SameClass,
}

/// How a log longer than the longest scaling length is divided.
///
/// ```
/// assert_eq!(scaling::Division::default(), scaling::Division::NearEqual);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Division {
    /// Into the fewest segments that are not too long, as near equal as the contract's multiple of feet allows, the
    /// longer ones at the butt (Forest Service practice of the 1910s; the longer at the butt is from memory).
    #[default]
    NearEqual,
    /// By Georgia's statute, whatever the longest length: one log below 18 feet, two from 18 and below 34, three
    /// from 34 on, as near equal as even feet allow; more than three only where a segment would pass the longest
    /// scaling length (Official Code of Georgia 2-14-80).
    Georgia,
    /// Not at all: such a log is a problem.
    None,
}

/// Which way a segment's diameter goes to the whole inch where the taper does not divide evenly.
///
/// ```
/// assert_eq!(scaling::OddTaper::default(), scaling::OddTaper::Raised);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum OddTaper {
    /// Up (handbook practice, from memory).
    #[default]
    Raised,
    /// Down.
    Dropped,
}

/// Whether a scaler's own estimate of a loss stands.
///
/// ```
/// assert_eq!(scaling::Estimates::default(), scaling::Estimates::Refused);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Estimates {
    /// It is a problem: a loss must be measured.
    #[default]
    Refused,
    /// It stands, marked in the working as judgement.
    Allowed,
}

/// Whether a size exactly at a limit is within it.
///
/// ```
/// assert_eq!(scaling::AtLimit::default(), scaling::AtLimit::In);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AtLimit {
    /// Within.
    #[default]
    In,
    /// Outside.
    Out,
}

/// What becomes of a log whose top is too small.
///
/// ```
/// assert_eq!(scaling::SmallTop::default(), scaling::SmallTop::Cull);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum SmallTop {
    /// It is cull.
    #[default]
    Cull,
    /// It is cut back to the next shorter length class whose top is large enough, told from even taper to the large
    /// end or from the assumed taper; without either it is cull.
    CutBack,
}
