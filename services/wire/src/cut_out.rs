//! What was cut on a job, held against what its cruise expected.

use audit::{Confidence, CruiseEstimate, HeldAgainst};
use jiff::civil::Date;
use kernel::{ContractId, CruiseId, Fixed, VolumeUnit};
use serde::{Deserialize, Serialize};

use crate::LeftOut;

/// One species, or all of them: the estimate beside the cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CutOutRow {
    /// The species, in small letters; absent for all of them together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub species: Option<String>,
    /// What the cruise says; absent for a species that it did not see.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub estimate: Option<CruiseEstimate>,
    /// How many logs were cut.
    pub logs: i64,
    /// Their gross scale.
    pub gross: Fixed,
    /// Their net scale.
    pub net: Fixed,
    /// The gross scale and the net scale, each held against the estimate.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub held: Vec<HeldAgainst>,
    /// What would still stand if the cut is not finished: the estimate less the gross scale of the cut, and nothing once more
    /// was cut. Gross, because a standing tree is measured with its defects in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub still_standing: Option<Fixed>,
}

/// What was cut, held against what was expected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CutOutAudit {
    /// The cruise.
    pub cruise_id: CruiseId,
    /// The contract on whose scale the cut stands.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The first day whose tickets are counted: the day of the cruise.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last, where one was asked for.
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>, format = Date))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// The unit of both; absent where they cannot be compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// By what the cruise's trees got their volume.
    pub cruise_formula: String,
    /// The rules by which the contract's logs were scaled.
    pub contract_rules: Vec<String>,
    /// Whether the cut was scaled by another rule than the cruise was reckoned by: then some of the difference is the rules'
    /// own.
    pub rules_differ: bool,
    /// How often intervals made in this way hold the true figure.
    pub confidence: Confidence,
    /// Each species, in the order of their names, those without an estimate and those without a cut too.
    pub species: Vec<CutOutRow>,
    /// All of them together; absent where they cannot be compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub all: Option<CutOutRow>,
    /// Why they cannot be compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_comparable: Option<String>,
    /// Pieces of the job that are in none of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// What these figures do and do not say.
    pub caution: String,
}
