//! Adjustments of volume after a check scale.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CheckScaleId, Fixed, TermsId, VolumeAdjustmentId};
use serde::{Deserialize, Serialize};

use crate::{Remark, ReversedView};

/// Adjusts a contract's scale by what a check scale found: every day of the lot under every rate, by the ratio.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VolumeAdjustmentCreate {
    /// Why.
    pub reason: Remark,
    /// Why although the contract's tolerance does not ask for it; needed only then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub although: Option<Remark>,
}

/// Takes an adjustment back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VolumeAdjustmentReversalCreate {
    /// Why.
    pub reason: Remark,
}

/// What an adjustment adds to one day under one rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AdjustedQuantityView {
    /// The day of the lot.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// The terms.
    pub terms_id: TermsId,
    /// The rate's place in the terms, from 1.
    pub rate_number: u16,
    /// What the lot held of it when the adjustment was filed, in the unit that is counted.
    pub held: Fixed,
    /// The check's scale over the scaler's, as an exact fraction.
    pub ratio: String,
    /// Held × (ratio - 1), to six decimals, halves away from zero; below zero where it takes away.
    pub quantity: Fixed,
}

/// An adjustment after a check scale.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VolumeAdjustmentView {
    /// Its id.
    pub volume_adjustment_id: VolumeAdjustmentId,
    /// The check scale.
    pub check_scale_id: CheckScaleId,
    /// Why.
    pub reason: String,
    /// Why although the contract's tolerance does not ask for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub although: Option<String>,
    /// What it adds, by day, terms and rate.
    pub quantities: Vec<AdjustedQuantityView>,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
    /// That it was taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reversed: Option<ReversedView>,
}

/// An adjustment by its ids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AdjustmentReference {
    /// Its id.
    pub volume_adjustment_id: VolumeAdjustmentId,
    /// The check scale that it follows.
    pub check_scale_id: CheckScaleId,
}

/// An adjustment within the explanation of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExplainedAdjustment {
    /// The adjustment.
    pub adjustment: AdjustmentReference,
    /// Whether the line takes it back.
    pub withdrawn: bool,
    /// What it counts for in this line, in the unit that is counted.
    pub quantity: Fixed,
    /// The check scale, the reason, and the arithmetic day by day.
    pub says: Vec<String>,
}
