//! How a contract has its ranked piles measured.

use kernel::{Exact, NumberError, Rounding, VolumeUnit};
use serde::{Deserialize, Serialize};

use super::{Estimates, NominalSticksFeet, NominalSticksMetres, OtherSticks, grade_only};
use crate::piece::total_feet;
use crate::{DefectKind, RoundTo, member};

/// How ranked piles are measured: by the cord, or by the stacked cubic metre. The unit settles the system, and nothing
/// converts between the two, nor between filled space and solid wood.
///
/// What a cord is and how it may be sold is often fixed by law: local law goes before any contract.
///
/// ```
/// use scaling::RankedPilePractice;
/// let practice: RankedPilePractice = serde_json::from_str(
///     r#"{"unit": "cord", "nominal_sticks": {"length_ft": "4", "most_trim_in": "4"}, "estimates": "allowed"}"#,
/// )?;
/// assert_eq!(practice.unit(), kernel::VolumeUnit::Cord);
/// let mixed = r#"{"unit": "cord", "nominal_sticks": {"length_m": "1", "most_trim_cm": "5"}}"#;
/// assert!(serde_json::from_str::<RankedPilePractice>(mixed).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "unit", rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RankedPilePractice {
    /// By the cord of 128 cubic feet, measured in feet and inches.
    Cord(CordPractice),
    /// By the stacked cubic metre, measured in metres.
    StackedCubicMetre(StackedCubicMetrePractice),
}

impl RankedPilePractice {
    /// The unit of the volume.
    #[must_use]
    pub const fn unit(&self) -> VolumeUnit {
        match self {
            Self::Cord(_) => VolumeUnit::Cord,
            Self::StackedCubicMetre(_) => VolumeUnit::StackedCubicMetre,
        }
    }
}

/// How piles are measured by the cord.
///
/// ```
/// use scaling::CordPractice;
/// let practice: CordPractice = serde_json::from_str("{}")?;
/// assert_eq!(practice, CordPractice::default());
/// assert_eq!(practice.volume_rounding.to_string(), "to the nearest 0.01, a half up");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CordPractice {
    /// How the average of the heights is rounded; the step is in inches. Default: not at all.
    #[serde(deserialize_with = "member::height_rounding_in", skip_serializing_if = "Option::is_none")]
    pub height_rounding_in: Option<RoundTo>,
    /// The length the sticks count by. Default: as measured.
    #[serde(deserialize_with = "member::nominal_sticks", skip_serializing_if = "Option::is_none")]
    pub nominal_sticks: Option<NominalSticksFeet>,
    /// How the cords, and what is taken off them, are rounded. Default: to 0.01, half up (common practice, no source).
    #[serde(deserialize_with = "member::volume_rounding")]
    pub volume_rounding: RoundTo,
    /// Kinds of defect that lower the grade and take nothing off. Default: sound knots and spiral grain.
    #[serde(deserialize_with = "member::grade_only_kinds")]
    pub grade_only_kinds: Vec<DefectKind>,
    /// Whether a scaler's own estimate of a loss stands: for air beyond that of a well-stowed pile, or for rot. Default
    /// refused.
    #[serde(deserialize_with = "member::estimates")]
    pub estimates: Estimates,
}

/// How piles are measured by the stacked cubic metre.
///
/// ```
/// use scaling::StackedCubicMetrePractice;
/// let practice: StackedCubicMetrePractice =
///     serde_json::from_str(r#"{"height_rounding_cm": {"step": "5", "mode": "down"}}"#)?;
/// assert_eq!(practice.nominal_sticks, None);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StackedCubicMetrePractice {
    /// How the average of the heights is rounded; the step is in centimetres. Default: not at all.
    #[serde(deserialize_with = "member::height_rounding_cm", skip_serializing_if = "Option::is_none")]
    pub height_rounding_cm: Option<RoundTo>,
    /// The length the sticks count by. Default: as measured.
    #[serde(deserialize_with = "member::nominal_sticks", skip_serializing_if = "Option::is_none")]
    pub nominal_sticks: Option<NominalSticksMetres>,
    /// How the volume, and what is taken off it, is rounded. Default: to 0.01, half up (common practice, no source).
    #[serde(deserialize_with = "member::volume_rounding")]
    pub volume_rounding: RoundTo,
    /// Kinds of defect that lower the grade and take nothing off. Default: sound knots and spiral grain.
    #[serde(deserialize_with = "member::grade_only_kinds")]
    pub grade_only_kinds: Vec<DefectKind>,
    /// Whether a scaler's own estimate of a loss stands: for air beyond that of a well-stowed pile, or for rot. Default
    /// refused.
    #[serde(deserialize_with = "member::estimates")]
    pub estimates: Estimates,
}

const HUNDREDTHS: RoundTo = RoundTo::fixed(Exact::fraction(1, 100), Rounding::HalfUp);

impl Default for CordPractice {
    fn default() -> Self {
        Self {
            height_rounding_in: None,
            nominal_sticks: None,
            volume_rounding: HUNDREDTHS,
            grade_only_kinds: grade_only::by_default(),
            estimates: Estimates::Refused,
        }
    }
}

impl Default for StackedCubicMetrePractice {
    fn default() -> Self {
        Self {
            height_rounding_cm: None,
            nominal_sticks: None,
            volume_rounding: HUNDREDTHS,
            grade_only_kinds: grade_only::by_default(),
            estimates: Estimates::Refused,
        }
    }
}

/// The terms of either unit, to compute with: lengths in feet or in metres.
pub(crate) struct PileTerms<'a> {
    /// The step is in inches or centimetres.
    pub(crate) height_rounding: Option<RoundTo>,
    pub(crate) nominal_sticks: Option<NominalSticks>,
    pub(crate) volume_rounding: RoundTo,
    pub(crate) grade_only_kinds: &'a [DefectKind],
    pub(crate) estimates: Estimates,
}

/// Which sticks count by which length.
#[derive(Clone, Copy)]
pub(crate) struct NominalSticks {
    /// The length they count by, which is the shortest that does.
    pub(crate) length: Exact,
    /// The longest that does, trim and all.
    pub(crate) longest: Exact,
    pub(crate) otherwise: OtherSticks,
}

impl RankedPilePractice {
    pub(crate) fn terms(&self) -> Result<PileTerms<'_>, NumberError> {
        Ok(match self {
            Self::Cord(practice) => PileTerms {
                height_rounding: practice.height_rounding_in,
                nominal_sticks: practice.nominal_sticks.map(NominalSticks::in_feet).transpose()?,
                volume_rounding: practice.volume_rounding,
                grade_only_kinds: &practice.grade_only_kinds,
                estimates: practice.estimates,
            },
            Self::StackedCubicMetre(practice) => PileTerms {
                height_rounding: practice.height_rounding_cm,
                nominal_sticks: practice.nominal_sticks.map(NominalSticks::in_metres).transpose()?,
                volume_rounding: practice.volume_rounding,
                grade_only_kinds: &practice.grade_only_kinds,
                estimates: practice.estimates,
            },
        })
    }
}

impl NominalSticks {
    fn in_feet(named: NominalSticksFeet) -> Result<Self, NumberError> {
        let length = total_feet(named.length_ft, named.length_in)?;
        let longest = length.plus(named.most_trim_in.exact().over(Exact::of(12))?)?;
        Ok(Self { length, longest, otherwise: named.otherwise })
    }

    fn in_metres(named: NominalSticksMetres) -> Result<Self, NumberError> {
        let length = named.length_m.exact();
        let longest = length.plus(named.most_trim_cm.exact().over(Exact::of(100))?)?;
        Ok(Self { length, longest, otherwise: named.otherwise })
    }
}
