//! The audit as one report: what the charts and tables of the printable page are drawn from.

use jiff::civil::Date;
use kernel::{Currency, Exact, Fixed, Product};
use serde::{Deserialize, Serialize};

use crate::{
    CheckPointView, CheckScaleView, CheckVerdictView, CheckedStratumView, ExceptionSummary, MadeOf, Margin,
    MarginRow, Role, ScaledBy, Stage, VolumeAgainstPay,
};

/// The form in which a report is answered.
///
/// ```
/// assert_eq!(wire::ReportFormat::Html.media_type(), "text/html");
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ReportFormat {
    /// JSON.
    #[default]
    Json,
    /// Comma-separated values (RFC 4180): one long table, with the same columns for every section.
    Csv,
    /// One page to read and to print; needs no network and runs no script.
    Html,
    /// A PDF document, tagged for screen readers, with its fonts in it.
    Pdf,
}

impl ReportFormat {
    /// The media type it is answered in.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Csv => "text/csv",
            Self::Html => "text/html",
            Self::Pdf => "application/pdf",
        }
    }
}

/// A section of the report, as its rows are marked.
///
/// ```
/// use wire::ReportSection;
/// assert_eq!(ReportSection::DefectByScaler.name(), "defect_by_scaler");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ReportSection {
    /// Volume by week and stage.
    VolumeByWeek,
    /// The wood of the whole span at each stage, by product and species.
    Stages,
    /// Cost per thousand by task and week.
    CostByWeek,
    /// What defect took, by scaler.
    DefectByScaler,
    /// The mill's side against the crews'.
    Margin,
    /// What each contract earned, and what was posted.
    Contracts,
    /// What each payee earned, and what was paid.
    Payees,
    /// What an auditor would stop at, counted by kind.
    Exceptions,
    /// Samples that somebody else scaled again.
    CheckScales,
}

impl ReportSection {
    /// Every section, in the order of the report.
    pub const ALL: [Self; 9] = [
        Self::VolumeByWeek,
        Self::Stages,
        Self::CostByWeek,
        Self::DefectByScaler,
        Self::Margin,
        Self::Contracts,
        Self::Payees,
        Self::Exceptions,
        Self::CheckScales,
    ];

    /// The name used in JSON and in rows.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::VolumeByWeek => "volume_by_week",
            Self::Stages => "stages",
            Self::CostByWeek => "cost_by_week",
            Self::DefectByScaler => "defect_by_scaler",
            Self::Margin => "margin",
            Self::Contracts => "contracts",
            Self::Payees => "payees",
            Self::Exceptions => "exceptions",
            Self::CheckScales => "check_scales",
        }
    }
}

/// The wood of one week at one stage, on one scale, all products and species together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VolumeWeekRow {
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// How far the wood came.
    pub stage: Stage,
    /// On whose scale; absent where no contract measures a volume of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaled_by: Option<ScaledBy>,
    /// How many pieces, each once.
    pub pieces: i64,
    /// How many of them are culls on that scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub culls: Option<i64>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// The share of the gross scale that defect took, exactly; absent where there is no gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_share: Option<Exact>,
}

/// What defect took of one kind of timber that a scaler scaled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerTimber {
    /// What the pieces are.
    pub product: Product,
    /// Their species, in small letters.
    pub species: String,
    /// How many.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
    /// The share of the gross scale that defect took, exactly; absent where there is no gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_share: Option<Exact>,
}

/// What defect took of everything that a scaler scaled, on one scale. It tells no good scaler from a bad one: each may have
/// had other timber before him, and only a check scale compares two on the same sticks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerDefect {
    /// The scaler, as the name stands on the tickets.
    pub scaler: String,
    /// On whose scale: a mill's where one scales the piece (that of the mill it went to before any other), else that of
    /// the contract that was filed first.
    pub scaled_by: ScaledBy,
    /// How many pieces, each once.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
    /// The share of the gross scale that defect took, exactly; absent where there is no gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_share: Option<Exact>,
    /// The same by product and species.
    pub timber: Vec<ScalerTimber>,
    /// The scaler's tickets.
    pub made_of: Vec<MadeOf>,
}

/// A check scale in the report: what `show_check_scale` says of the sample, without its pieces and without money.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReportedCheckScale {
    /// The check scale.
    pub check_scale: CheckScaleView,
    /// The sample added up, by product and unit.
    pub strata: Vec<CheckedStratumView>,
    /// The pieces that both scaled, for a chart.
    pub points: Vec<CheckPointView>,
    /// The confidence of every interval, in percent.
    pub confidence_percent: u8,
    /// What the tolerance makes of it.
    pub verdict: CheckVerdictView,
}

/// What stands beside the figures of every report.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReportNotes {
    /// In which units the figures are.
    pub units: String,
    /// What is rounded, where and how.
    pub rounding: String,
    /// On whose scale volumes stand.
    pub scales: String,
    /// What this paper is, and what it is not.
    pub caution: String,
}

/// The audit of some weeks as one report.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AuditReport {
    /// The outfit.
    pub outfit_name: String,
    /// The job, where one was asked about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job_name: Option<String>,
    /// The first day, of a whole settlement week.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last day, likewise.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// The day on which it was drawn up, where the outfit is.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub made_on: Date,
    /// Who asked for it.
    pub made_for: String,
    /// As what. A mill is told of its own side only.
    pub role: Role,
    /// What amounts are in.
    pub currency: Currency,
    /// Volume by week and stage, oldest first; weeks without wood are left out.
    pub volume_by_week: Vec<VolumeWeekRow>,
    /// For each week, job and mill the cost of each task beside what the mill owes, each also on a unit of the mill's net
    /// scale; oldest first. Empty for a mill.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cost_by_week: Vec<MarginRow>,
    /// What defect took, by scaler.
    pub defect_by_scaler: Vec<ScalerDefect>,
    /// The mill's side against the crews' for the whole span. Absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin: Option<Margin>,
    /// Volume against pay for the whole span, without the weeks and the margin, which stand above.
    pub volume_against_pay: VolumeAgainstPay,
    /// What an auditor would stop at, counted by kind. Absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exceptions: Option<ExceptionSummary>,
    /// The check scales of lots that have a day of the span, latest check first, 12 at the most. A mill is told of those
    /// of its own contracts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub check_scales: Vec<ReportedCheckScale>,
    /// How many more check scales there are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub further_check_scales: Option<u32>,
    /// Units, rounding, scales, and the caution.
    pub notes: ReportNotes,
}
