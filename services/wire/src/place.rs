//! Mills, jobs and landings.

use jiff::Timestamp;
use kernel::{JobId, LandingId, MillId};
use serde::{Deserialize, Serialize};

use crate::Name;
use crate::columns::columns;

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

columns!(MillView: mill {
    "mill_id" => mill.mill_id,
    "name" => mill.name,
    "made_at" => mill.made_at,
});

columns!(JobView: job for landing in job.landings.iter(), {
    "job_id" => job.job_id,
    "name" => job.name,
    "made_at" => job.made_at,
    "landing_id" => landing.map(|landing| landing.landing_id),
    "landing_name" => landing.map(|landing| landing.name.as_str()),
    "landing_made_at" => landing.map(|landing| landing.made_at),
});
