//! Workers, crews, and how crews divide their pay.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, ShareSetId, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::ShareMethod;

use crate::Name;
use crate::columns::columns;

/// Files a worker.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WorkerCreate {
    /// The name on the pay statement, unique in the outfit.
    pub name: Name,
}

/// A worker.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WorkerView {
    /// The worker's id.
    pub worker_id: WorkerId,
    /// The name on the pay statement.
    pub name: String,
    /// When the worker was filed.
    pub made_at: Timestamp,
}

/// Files a crew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CrewCreate {
    /// What the crew is called, unique in the outfit.
    pub name: Name,
}

/// A crew, with every division of pay filed for it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CrewView {
    /// The crew's id.
    pub crew_id: CrewId,
    /// What it is called.
    pub name: String,
    /// When it was filed.
    pub made_at: Timestamp,
    /// How it divides its pay, by day and revision.
    pub share_sets: Vec<ShareSetView>,
}

/// One member's part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ShareView {
    /// The member.
    pub worker_id: WorkerId,
    /// The member's parts, above zero: given with the method `parts`, and with it alone. The pay is divided in
    /// proportion to the parts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<Fixed>,
}

/// Files how a crew divides its pay from a date on. Cents that do not divide go to the largest remainders, and
/// among equal ones to whoever stands first in the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ShareSetCreate {
    /// The first day it holds for. It takes the place of what was filed for that day, also for days past.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub effective_from: Date,
    /// How they share. `parts`: in proportion to the parts of each. `equally`. `by_hours`: each day's work under a rate in
    /// proportion to the hours of piece work that each did that day. Left out: `parts`.
    #[serde(default)]
    pub method: ShareMethod,
    /// The members, at least one and each once.
    pub shares: Vec<ShareView>,
}

/// A division of a crew's pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ShareSetView {
    /// Its id.
    pub share_set_id: ShareSetId,
    /// The first day it holds for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub effective_from: Date,
    /// Counts up with each one filed for the crew; of two for the same day the higher one holds.
    pub revision: i32,
    /// How they share.
    #[serde(default)]
    pub method: ShareMethod,
    /// The members.
    pub shares: Vec<ShareView>,
    /// When it was filed.
    pub made_at: Timestamp,
}

columns!(WorkerView: worker {
    "worker_id" => worker.worker_id,
    "name" => worker.name,
    "made_at" => worker.made_at,
});

columns!(CrewView: crew for share in crew.shares(), {
    "crew_id" => crew.crew_id,
    "name" => crew.name,
    "made_at" => crew.made_at,
    "share_set_id" => share.map(|(set, _)| set.share_set_id),
    "effective_from" => share.map(|(set, _)| set.effective_from),
    "revision" => share.map(|(set, _)| set.revision),
    "method" => share.map(|(set, _)| set.method.name()),
    "worker_id" => share.map(|(_, share)| share.worker_id),
    "parts" => share.and_then(|(_, share)| share.parts),
});

impl CrewView {
    /// Every member's share in every division of pay.
    fn shares(&self) -> impl Iterator<Item = (&ShareSetView, &ShareView)> {
        self.share_sets.iter().flat_map(|set| set.shares.iter().map(move |share| (set, share)))
    }
}
