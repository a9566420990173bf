//! Cruises: estimates of standing timber.

use audit::{Confidence, CruiseEstimate, PlotsNeeded};
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CruiseId, Fixed, JobId, VolumeUnit};
use scaling::standing::{Area, Cruise, FormulaFacts};
use serde::{Deserialize, Serialize};

use crate::columns::columns;
use crate::{Name, Remark, WithdrawnView};

/// Files a cruise of a job's standing timber.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CruiseCreate {
    /// The job whose tract was cruised.
    pub job_id: JobId,
    /// The day the cruise was done, or its last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub cruised_on: Date,
    /// Who measured.
    pub cruiser: Name,
    /// What was measured, and how trees get their volume.
    pub measured: Cruise,
    /// What else there is to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<Remark>,
}

/// A cruise without its trees.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CruiseSummary {
    /// Its id.
    pub cruise_id: CruiseId,
    /// The job.
    pub job_id: JobId,
    /// Its name.
    pub job_name: String,
    /// The day the cruise was done, or its last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub cruised_on: Date,
    /// Who measured.
    pub cruiser: String,
    /// How the land was looked at: `fixed_plots`, `points` or `complete`.
    pub method: String,
    /// How many plots or points were looked at.
    pub plots: u32,
    /// How many trees were counted.
    pub trees: u64,
    /// What is known about the formula.
    pub formula: FormulaFacts,
    /// What else there is to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
    /// That it was taken back, and counts no more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<WithdrawnView>,
}

/// The volume of trees that were tallied together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TreeVolumeView {
    /// The plot, counted from 1.
    pub plot: u32,
    /// The species, as the cruiser wrote it.
    pub species: String,
    /// Their diameter at breast height, with its unit.
    pub diameter: String,
    /// Their height, with its unit.
    pub height: String,
    /// How many were counted.
    pub count: u32,
    /// How many they stand for on a unit of area; in a complete tally, how many they are.
    pub stems: Fixed,
    /// The volume of one of them, to six decimals, halves away from zero.
    pub volume: Fixed,
    /// How that came about.
    pub says: String,
}

/// The estimate for one species.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SpeciesEstimate {
    /// The species, in small letters.
    pub species: String,
    /// What stands of it.
    pub estimate: CruiseEstimate,
}

/// What a cruise says of the whole tract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CruiseEstimates {
    /// The unit of the volumes; absent where no tree was counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// The area of the tract, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tract: Option<Area>,
    /// How often intervals made in this way hold the true figure.
    pub confidence: Confidence,
    /// How many plots of this size the tract has room for; absent where plots have no size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room_for_plots: Option<u64>,
    /// Each species, in the order of their names.
    pub species: Vec<SpeciesEstimate>,
    /// All of them together.
    pub all: CruiseEstimate,
    /// How many plots it would take for the error that was asked about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plots_needed: Option<PlotsNeeded>,
    /// What these figures do and do not say.
    pub caution: String,
}

/// A cruise with its trees and what they say of the tract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CruiseView {
    /// Everything but the trees.
    #[serde(flatten)]
    pub summary: CruiseSummary,
    /// What was measured.
    pub measured: Cruise,
    /// The volume of every line of trees.
    pub volumes: Vec<TreeVolumeView>,
    /// What it says of the tract.
    pub estimates: CruiseEstimates,
}

columns!(CruiseSummary: one {
    "cruise_id" => one.cruise_id,
    "job_id" => one.job_id,
    "job_name" => one.job_name,
    "cruised_on" => one.cruised_on,
    "cruiser" => one.cruiser,
    "method" => one.method,
    "plots" => one.plots,
    "trees" => one.trees,
    "formula" => one.formula.says,
    "from_memory" => one.formula.from_memory,
    "remarks" => one.remarks,
    "made_by" => one.made_by,
    "made_at" => one.made_at,
    "withdrawn_because" => one.withdrawn.as_ref().map(|withdrawn| withdrawn.reason.as_str()),
});
