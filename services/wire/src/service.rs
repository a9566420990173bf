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
