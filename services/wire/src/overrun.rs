//! What mills sawed over or under the scale of the same logs.

use audit::Overrun;
use jiff::civil::Date;
use kernel::{Fixed, MillTallyId, VolumeUnit};
use serde::{Deserialize, Serialize};

use crate::MillTallyView;

/// The scale of a tally's logs by one rule, under the mill's own contracts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OverrunScale {
    /// The rule, with its edition or the version of the outfit's own table.
    pub rule: String,
    /// The unit.
    pub unit: VolumeUnit,
    /// How many logs.
    pub logs: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// Pieces on the same tickets that are not in the scale.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LeftOut {
    /// What they are, and why they are not in it.
    pub says: String,
    /// How many.
    pub pieces: i64,
}

/// One species of a tally that was made by species.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SpeciesOverrun {
    /// The species, in small letters.
    pub species: String,
    /// What was tallied, in board feet; absent where logs of it were delivered and no lumber of it was tallied.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tally: Option<Fixed>,
    /// The scale of its logs, by rule.
    pub scales: Vec<OverrunScale>,
    /// Overrun on the gross scale and on the net scale, as far as there is any.
    pub figures: Vec<Overrun>,
    /// Why there are fewer than two figures.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_comparable: Vec<String>,
}

/// One tally, held against the scale of the logs that were delivered in its days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OverrunRow {
    /// The tally.
    pub tally: MillTallyView,
    /// How many tickets its logs are on.
    pub tickets: i64,
    /// The scale of its logs, by rule: more than one where terms or jobs differ.
    pub scales: Vec<OverrunScale>,
    /// Overrun on the gross scale and on the net scale, as far as there is any. Each names its base, its rule, its unit and
    /// the state of the lumber.
    pub figures: Vec<Overrun>,
    /// Why there are fewer than two figures.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_comparable: Vec<String>,
    /// The same by species, where the tally was made so.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub species: Vec<SpeciesOverrun>,
    /// Pieces on the same tickets that are in none of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// How many of the tickets came after the tally was filed, corrections among them. They are counted.
    pub entered_since: i64,
    /// How many tickets of these days were corrected after the tally was filed. They are not counted any more; what took their
    /// place is.
    pub corrected_since: i64,
    /// Other standing tallies of the mill that claim some of the same logs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub overlaps: Vec<MillTallyId>,
}

/// What mills sawed over or under the scale.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OverrunAudit {
    /// The first day asked about.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// Every standing tally whose days reach into these, oldest filed first.
    pub rows: Vec<OverrunRow>,
    /// What these figures do and do not say.
    pub caution: String,
}
