//! What a check scale comes to: both scales side by side, the sampling error, the verdict, and the effect in money.

use audit::{CheckMeasure, CheckOutcome, CheckTolerance, Consequence, ToleranceRule};
use jiff::civil::Date;
use kernel::{CheckScaleId, Exact, Fixed, Money, Product, TermsId, TicketId, VolumeUnit};
use serde::{Deserialize, Serialize};
use settlement::{Basis, RateUnit, Task};

use crate::{CheckScaleView, TicketReference, VolumeAdjustmentView};

/// What one of the two made of a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OneScaleView {
    /// The kind of tree, in small letters.
    pub species: String,
    /// Its grade or class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// The length it is scaled by, in feet or in metres as the contract measures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Fixed>,
    /// The unit of the volumes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// Why it is a cull, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
    /// Why it cannot be scaled under the contract; it is then left out of all sums.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cannot: Option<String>,
    /// Every step from the readings to the net scale, in words; where it was asked for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub working: Vec<String>,
}

/// A piece of the sample on both sides.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ComparedPieceView {
    /// The ticket it stands on, or the one in whose pile it was found.
    pub ticket: TicketReference,
    /// The day the ticket was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// Who scaled it first.
    pub scaler: String,
    /// Its number on the ticket; absent for one too many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// What it is.
    pub product: Product,
    /// The ticket that has taken the place of this one since the check. The comparison is with what was checked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<TicketId>,
    /// The scaler's; absent for one too many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub original: Option<OneScaleView>,
    /// The checker's; absent for one that is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check: Option<OneScaleView>,
}

/// What pieces add up to on one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScaleTotalsView {
    /// How many there are.
    pub pieces: u64,
    /// The lengths they are scaled by, together.
    pub length: Fixed,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
    /// The share of the gross scale that defect took, in percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_percent: Option<Fixed>,
}

/// Totals of one species or grade; each side by what it says itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ComparedGroupView {
    /// The species or the grade; absent for pieces without a grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The scaler's.
    pub original: ScaleTotalsView,
    /// The checker's.
    pub check: ScaleTotalsView,
}

/// How often both said the same of a piece that both scaled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AgreementView {
    /// How many pieces both scaled.
    pub pieces: u64,
    /// On how many they agree on the species.
    pub species: u64,
    /// On how many they agree on the grade.
    pub grade: u64,
}

/// The checker's scale over the scaler's, and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckRatioView {
    /// The ratio of the sums.
    pub ratio: Fixed,
    /// Its standard error; absent for a single piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard_error: Option<Fixed>,
    /// The lower end of the interval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Fixed>,
    /// The upper end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Fixed>,
    /// Half of the interval in percent of the ratio.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub error_percent: Option<Fixed>,
    /// What the lot's scale comes to by the check.
    pub estimate: Fixed,
}

/// A difference held to the contract's tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckFindingView {
    /// Of what.
    pub measure: CheckMeasure,
    /// The check less the original.
    pub difference: Fixed,
    /// The difference in percent of the original.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent_of_original: Option<Fixed>,
    /// The same in percent of the check.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent_of_check: Option<Fixed>,
    /// What is allowed, in percent.
    pub limit_percent: Fixed,
    /// What of it.
    pub outcome: CheckOutcome,
}

/// How large a sample would have to be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SampleAdviceView {
    /// How many pieces were sampled.
    pub sampled: u64,
    /// How much they vary about the ratio of net scale, in percent.
    pub variation_percent: Fixed,
    /// The error that is allowed, in percent.
    pub allowed_percent: Fixed,
    /// Student's t for the confidence and this sample.
    pub t: Fixed,
    /// How many pieces it takes.
    pub needed: u64,
    /// All of it in words, with the least samples that are published.
    pub says: Vec<String>,
}

/// The pieces of one product in one unit: the sample on both sides, and the lot it stands for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckedStratumView {
    /// The product.
    pub product: Product,
    /// The unit; absent for pieces without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// The sample by the scaler.
    pub original: ScaleTotalsView,
    /// The sample by the checker.
    pub check: ScaleTotalsView,
    /// How many pieces the lot has of them, by the scaler.
    pub lot_pieces: u64,
    /// Their gross scale.
    pub lot_gross: Fixed,
    /// Their net scale.
    pub lot_net: Fixed,
    /// The sample by species.
    pub by_species: Vec<ComparedGroupView>,
    /// The sample by grade.
    pub by_grade: Vec<ComparedGroupView>,
    /// How often both agree.
    pub agreement: AgreementView,
    /// Of gross scale; absent where the scaler has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross_ratio: Option<CheckRatioView>,
    /// Of net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_ratio: Option<CheckRatioView>,
    /// What the contract's tolerance makes of it; empty where the contract states none.
    pub findings: Vec<CheckFindingView>,
    /// How large a sample would have to be; absent where nothing can be told from this one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advice: Option<SampleAdviceView>,
}

/// A piece that both scaled, for a chart of net scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckPointView {
    /// The product.
    pub product: Product,
    /// The unit.
    pub unit: VolumeUnit,
    /// The scaler's net scale.
    pub original: Fixed,
    /// The checker's.
    pub check: Fixed,
}

/// What the contract's tolerance makes of the whole sample.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckVerdictView {
    /// The tolerance, as the terms in force on the lot's last day state it; absent where they state none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<CheckTolerance>,
    /// The same spelled out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<ToleranceRule>,
    /// The worst of all findings; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<CheckOutcome>,
    /// What follows; absent unless it trips.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<Consequence>,
    /// All of it in words, with figures and source.
    pub says: Vec<String>,
}

/// One check of a scaler, and how it came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerCheckView {
    /// The check scale.
    pub check_scale_id: CheckScaleId,
    /// Its day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub checked_on: Date,
    /// How it came out; absent where its contract states no tolerance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<CheckOutcome>,
}

/// The running record of a scaler up to a check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerRecordView {
    /// The scaler.
    pub scaler: String,
    /// His checks up to this one, newest first, twenty at the most.
    pub checks: Vec<ScalerCheckView>,
    /// How many of the newest lie beyond their tolerance in a row. A check without a tolerance is passed over.
    pub failures_in_a_row: u32,
    /// What that means.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
}

/// What one rate would be adjusted by.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckMoneyLine {
    /// The terms it stands in.
    pub terms_id: TermsId,
    /// The rate's place in the terms, from 1.
    pub rate_number: u16,
    /// The rate's name.
    pub rate_name: String,
    /// The task it pays.
    pub task: Task,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit.
    pub price: Fixed,
    /// What the lot holds under it, in the unit that is counted: of its tickets that still stand.
    pub quantity: Fixed,
    /// The check's figure over the scaler's, to six decimals.
    pub ratio: Fixed,
    /// Quantity × (ratio - 1), day by day, each to six decimals.
    pub change: Fixed,
    /// Change × price ÷ unit, exactly.
    pub exact: Exact,
    /// The same rounded once, halves away from zero. A statement rounds it together with the rest of the rate's week, so it
    /// may differ there by one of the smallest unit.
    pub amount: Money,
}

/// The effect of a check scale in money.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckMoneyView {
    /// The rates.
    pub lines: Vec<CheckMoneyLine>,
    /// Their amounts together.
    pub amount: Money,
    /// Whether the contract's tolerance asks for an adjustment.
    pub asked_for: bool,
    /// All of it in words, with the rates that a check scale does not change.
    pub says: Vec<String>,
}

/// What a check scale comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckScaleComparison {
    /// The check scale.
    pub check_scale: CheckScaleView,
    /// The sample piece by piece.
    pub pieces: Vec<ComparedPieceView>,
    /// The same added up, by product and unit.
    pub strata: Vec<CheckedStratumView>,
    /// The pieces that both scaled, for a chart.
    pub points: Vec<CheckPointView>,
    /// The confidence of every interval, in percent.
    pub confidence_percent: u8,
    /// How many sampled pieces stand on tickets that were corrected since the check.
    pub corrected_since: usize,
    /// What the tolerance makes of it.
    pub verdict: CheckVerdictView,
    /// The scaler's running record; absent where the sample is of several scalers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaler_record: Option<ScalerRecordView>,
    /// The effect in money; absent for a scaler, whose business pay is not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub money: Option<CheckMoneyView>,
    /// The adjustments filed after it; absent for a scaler.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub adjustments: Vec<VolumeAdjustmentView>,
    /// What to bear in mind.
    pub cautions: Vec<String>,
}
