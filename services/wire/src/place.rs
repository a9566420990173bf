//! Mills, jobs and landings.

use jiff::Timestamp;
use kernel::{JobId, LandingId, MillId};
use serde::{Deserialize, Serialize};

use crate::Name;

/// Files a mill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MillCreate {
    /// What it is called, unique in the outfit.
    pub name: Name,
}

/// A mill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MillView {
    /// Its id.
    pub mill_id: MillId,
    /// What it is called.
    pub name: String,
    /// When it was filed.
    pub made_at: Timestamp,
}

/// Files a job: a tract being logged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct JobCreate {
    /// What it is called, unique in the outfit.
    pub name: Name,
}

/// A job with its landings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct JobView {
    /// Its id.
    pub job_id: JobId,
    /// What it is called.
    pub name: String,
    /// When it was filed.
    pub made_at: Timestamp,
    /// Its landings, oldest first.
    pub landings: Vec<LandingView>,
}

/// Files a landing: a place on a job where timber is piled and scaled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LandingCreate {
    /// What it is called, unique on the job.
    pub name: Name,
}

/// A landing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LandingView {
    /// Its id.
    pub landing_id: LandingId,
    /// The job it is on.
    pub job_id: JobId,
    /// What it is called.
    pub name: String,
    /// When it was filed.
    pub made_at: Timestamp,
}
