//! Hours of workers.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, JobId, TimeEntryId, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::{DayHours, Task};

use crate::Remark;

/// What hours were for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TimeFor {
    /// Work that is paid by the piece.
    PieceWork {},
    /// Rest that is paid.
    Rest {},
    /// Work that is paid by time, by the crew's contract on the job and its rate by the hour or the day.
    Paid {
        /// The job.
        job_id: JobId,
        /// The crew; its division of pay must name the worker on that day.
        crew_id: CrewId,
        /// What was done.
        task: Task,
    },
}

/// Which wrong entry a new one takes the place of, and why. Both stay readable.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TimeCorrectionCreate {
    /// The wrong entry.
    pub time_entry_id: TimeEntryId,
    /// What was wrong.
    pub reason: Remark,
}

/// Files hours of one worker on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TimeEntryCreate {
    /// Who worked.
    pub worker_id: WorkerId,
    /// The day; decides its week and the terms it falls under.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub worked_on: Date,
    /// How many hours: more than 0, at most 24. Left out only in a correction, which then just takes the wrong entry
    /// away.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<DayHours>,
    /// What for.
    pub what_for: TimeFor,
    /// The entry it corrects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TimeCorrectionCreate>,
}

/// Whether an entry counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TimeState {
    /// It counts.
    Standing,
    /// Another entry took its place.
    Corrected,
    /// It only takes another entry away.
    Void,
}

/// Hours as they were filed, and what became of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TimeEntryView {
    /// Its id.
    pub time_entry_id: TimeEntryId,
    /// Whether it counts.
    pub state: TimeState,
    /// Who worked.
    pub worker_id: WorkerId,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub worked_on: Date,
    /// How many hours; absent in an entry that only takes another away.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<DayHours>,
    /// What for.
    pub what_for: TimeFor,
    /// The entry it takes the place of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TimeEntryId>,
    /// What was wrong with that one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction_reason: Option<String>,
    /// The entry that took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<TimeEntryId>,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}
