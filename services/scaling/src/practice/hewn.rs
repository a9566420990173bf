//! How a contract has its hewn timbers measured.

use kernel::{Exact, Rounding, VolumeUnit};
use serde::{Deserialize, Serialize};

use super::{Estimates, HewnTolerances, grade_only};
use crate::{DefectKind, RoundTo, member};

/// Where the section is taken from which the content is worked out. With only one section measured, it is
/// that one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Content {
    /// Mean of the two breadths by mean of the two thicknesses. Where both sides taper this falls a little
    /// under the solid (old mensuration texts; see the identity in the published tests).
    #[default]
    EndsAveraged,
    /// Breadth and thickness at mid-length (Laslett, 1875, navy timber).
    Middle,
    /// The smallest section that was measured, carried the whole length.
    LeastSection,
    /// The true solid between the ends: both end sections and four times the middle one, which is by the mean breadth
    /// and the mean thickness, over six (plain geometry of the prismoid).
    Frustum,
}

/// What becomes of wane.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum WaneTreatment {
    /// The stick is measured to the full square, as the sources seen do: they limit wane but take nothing
    /// off.
    #[default]
    Ignored,
    /// Gross is the full square; from the net the corners come off as flat chamfers (plain geometry; a rounded
    /// corner holds a little more). So a rate on net bears the wane, and one on gross does not.
    Deducted,
}

/// How hewn timbers are measured.
///
/// ```
/// use scaling::{Content, HewnPractice};
/// let practice: HewnPractice = serde_json::from_str(
///     r#"{"content": "middle", "side_rounding": {"step": "0.5", "mode": "down"}, "wane": "deducted"}"#,
/// )?;
/// assert_eq!(practice.content, Content::Middle);
/// assert_eq!(serde_json::from_str::<HewnPractice>("{}")?, HewnPractice::default());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HewnPractice {
    /// Which section counts. Default ends_averaged.
    #[serde(deserialize_with = "member::content")]
    pub content: Content,
    /// The unit of the content. Default board_foot.
    #[serde(deserialize_with = "member::unit")]
    pub unit: HewnUnit,
    /// How each side is read. Default: as measured. Laslett (1875) does not allow quarter inches in the
    /// sidings: that is a step of "0.5" and the mode "down".
    #[serde(deserialize_with = "member::side_rounding", skip_serializing_if = "Option::is_none")]
    pub side_rounding: Option<RoundTo>,
    /// What becomes of wane. Default ignored.
    #[serde(deserialize_with = "member::wane")]
    pub wane: WaneTreatment,
    /// How the content, and what is taken off it, is rounded. Default: to 0.001, half up (our own choice; old
    /// texts cut at inches or parts).
    #[serde(deserialize_with = "member::volume_rounding")]
    pub volume_rounding: RoundTo,
    /// What is held against the hewing. Default: nothing.
    #[serde(deserialize_with = "member::tolerances", skip_serializing_if = "Option::is_none")]
    pub tolerances: Option<HewnTolerances>,
    /// Kinds of defect that lower the grade and take nothing off. Default: sound knots and spiral grain.
    #[serde(deserialize_with = "member::grade_only_kinds")]
    pub grade_only_kinds: Vec<DefectKind>,
    /// Whether a scaler's own estimate of a loss stands. Default refused.
    #[serde(deserialize_with = "member::estimates")]
    pub estimates: Estimates,
}

/// The units in which squared timber is measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum HewnUnit {
    /// Board feet: breadth by thickness in inches by length in feet, over 12.
    #[default]
    BoardFoot,
    /// Cubic feet: the same over 144.
    CubicFoot,
    /// Linear feet: a stick goes by its length and has no volume.
    LinearFoot,
}

impl HewnUnit {
    /// The unit among all volume units; linear feet are none.
    ///
    /// ```
    /// assert_eq!(scaling::HewnUnit::CubicFoot.volume_unit(), Some(kernel::VolumeUnit::CubicFoot));
    /// assert_eq!(scaling::HewnUnit::LinearFoot.volume_unit(), None);
    /// ```
    #[must_use]
    pub const fn volume_unit(self) -> Option<VolumeUnit> {
        match self {
            Self::BoardFoot => Some(VolumeUnit::BoardFoot),
            Self::CubicFoot => Some(VolumeUnit::CubicFoot),
            Self::LinearFoot => None,
        }
    }
}

/// Thousandths, half up: the default for content worked out from measured sides.
pub(crate) const THOUSANDTHS: RoundTo = RoundTo::fixed(Exact::fraction(1, 1000), Rounding::HalfUp);

impl Default for HewnPractice {
    fn default() -> Self {
        Self {
            content: Content::default(),
            unit: HewnUnit::default(),
            side_rounding: None,
            wane: WaneTreatment::default(),
            volume_rounding: THOUSANDTHS,
            tolerances: None,
            grade_only_kinds: grade_only::by_default(),
            estimates: Estimates::Refused,
        }
    }
}
