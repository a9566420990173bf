//! Hours of workers.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, JobId, TimeEntryId, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::{DayHours, Task};

use crate::Remark;
use crate::columns::columns;

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

columns!(TimeEntryView: entry {
    "time_entry_id" => entry.time_entry_id,
    "state" => entry.state.name(),
    "worker_id" => entry.worker_id,
    "worked_on" => entry.worked_on,
    "hours" => entry.hours,
    "what_for" => entry.what_for.name(),
    "job_id" => entry.what_for.paid().map(|(job, ..)| job),
    "crew_id" => entry.what_for.paid().map(|(_, crew, _)| crew),
    "task" => entry.what_for.paid().map(|(.., task)| task.name()),
    "corrects" => entry.corrects,
    "correction_reason" => entry.correction_reason,
    "corrected_by" => entry.corrected_by,
    "made_by" => entry.made_by,
    "made_at" => entry.made_at,
});

impl TimeFor {
    /// As it is written in the member `kind`.
    fn name(self) -> &'static str {
        match self {
            Self::PieceWork {} => "piece_work",
            Self::Rest {} => "rest",
            Self::Paid { .. } => "paid",
        }
    }

    fn paid(self) -> Option<(JobId, CrewId, Task)> {
        match self {
            Self::Paid { job_id, crew_id, task } => Some((job_id, crew_id, task)),
            Self::PieceWork {} | Self::Rest {} => None,
        }
    }
}

impl TimeState {
    fn name(self) -> &'static str {
        match self {
            Self::Standing => "standing",
            Self::Corrected => "corrected",
            Self::Void => "void",
        }
    }
}
