//! Turns that somebody other than the scaler counted.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{JobId, TurnCountId};
use serde::{Deserialize, Serialize};

use crate::columns::columns;
use crate::{Name, Party};

/// Files how many turns were counted on a day by somebody who does not scale: a checker at the gate, the mill's clerk. It
/// takes the place of an earlier count for the same job, day and party. The scaler neither files nor sees it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TurnCountCreate {
    /// The job they came from.
    pub job_id: JobId,
    /// The day, where the outfit is.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub counted_on: Date,
    /// The crew that moved them, or the mill where they came in.
    pub party: Party,
    /// How many: 0 says that none moved.
    #[cfg_attr(feature = "openapi", schema(value_type = i64, minimum = 0, maximum = 10_000))]
    pub turns: u32,
    /// Who counted.
    pub counted_by: Name,
}

/// The most turns that a count may be: more than any landing sees in a day.
pub const MOST_TURNS: u32 = 10_000;

/// Turns that were counted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TurnCountView {
    /// Its id.
    pub turn_count_id: TurnCountId,
    /// The job they came from.
    pub job_id: JobId,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub counted_on: Date,
    /// The crew that moved them, or the mill where they came in.
    pub party: Party,
    /// How many.
    pub turns: u32,
    /// Who counted.
    pub counted_by: String,
    /// Which count it is for this job, day and party: 1 for the first.
    pub revision: i32,
    /// Whether no later count took its place.
    pub standing: bool,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(TurnCountView: count {
    "turn_count_id" => count.turn_count_id,
    "job_id" => count.job_id,
    "counted_on" => count.counted_on,
    "crew_id" => count.party.crew(),
    "mill_id" => count.party.mill(),
    "turns" => count.turns,
    "counted_by" => count.counted_by,
    "revision" => count.revision,
    "standing" => count.standing,
    "made_by" => count.made_by,
    "made_at" => count.made_at,
});
