//! A page of a list.

use serde::{Deserialize, Serialize};

/// A page of a list in the order in which things were filed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Listing<T> {
    /// What is on the page.
    pub items: Vec<T>,
    /// What to send as `after` for the next page; absent on the last one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}
