//! Scaling without storing anything.

use kernel::TermsId;
use scaling::Piece;
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
