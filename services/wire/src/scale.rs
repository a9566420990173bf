//! Scaling without storing anything.

use kernel::{Exact, TermsId, VolumeUnit};
use scaling::{Piece, Step};
use serde::{Deserialize, Serialize};

/// Asks what one piece would scale under a contract's terms. Nothing is stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PieceScaleRequest {
    /// The terms to scale under.
    pub terms_id: TermsId,
    /// The measured facts.
    pub piece: Piece,
}

/// What a piece scales, with the working.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScaledPiece {
    /// The diameter it scales at, in inches, for a round piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_diameter_in: Option<Exact>,
    /// The length it scales at, in feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_length_ft: Option<Exact>,
    /// The unit of the volumes; absent for a piece without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Exact>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Exact>,
    /// The grade or class it falls in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Why it is a cull, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
    /// Every step from the readings to the net scale.
    pub working: Vec<Step>,
}
