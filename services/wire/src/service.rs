//! The service itself: how it is, and what its problem codes mean.

use serde::{Deserialize, Serialize};

use crate::Code;

/// How the service is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Health {
    /// `ok`; anything else comes as a problem.
    pub status: String,
}

/// Whether the service can do its work, and what that rests on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Readiness {
    /// `ok`; anything else comes as a problem.
    pub status: String,
    /// `ok`: the database answers.
    pub database: String,
    /// The shape of the database.
    pub migrations: MigrationsView,
    /// How far it has come behind the books; only of an instance that only reads.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replica: Option<ReplicaView>,
}

/// How far an instance that only reads has come behind the books.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReplicaView {
    /// Every change that was committed before this moment is in what it shows: the commit of the last change that has
    /// arrived. It stands still while nothing is changed. The header `Books-As-Of` of its answers says the same.
    pub as_of: jiff::Timestamp,
    /// Whether it is connected to the books and has taken over everything that came. Then an old `as_of` means that
    /// nothing has been changed since.
    pub caught_up: bool,
    /// Seconds since `as_of`; zero while it is caught up.
    pub lag_seconds: u64,
    /// Bytes that have come and are still to be taken over.
    pub behind_bytes: u64,
}

/// How the shape of the database stands against what this version of the service needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MigrationsView {
    /// How many migrations the database has; more than expected after a newer version has run.
    pub applied: usize,
    /// How many this version needs.
    pub expected: usize,
    /// The ones that it needs and the database lacks: none, or the service is not ready.
    pub missing: Vec<String>,
}

/// What a problem code means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ProblemDescription {
    /// The code.
    pub code: Code,
    /// The HTTP status it is answered with.
    pub status: u16,
    /// Its title.
    pub title: String,
    /// What to do about it.
    pub advice: String,
}
