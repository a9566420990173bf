//! A page of a list.

use serde::{Deserialize, Serialize};

use crate::{Cell, Columns};

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

impl<T: Columns> Columns for Listing<T> {
    const NAMES: &'static [&'static str] = T::NAMES;

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.items.rows()
    }
}

impl<T: Columns> Columns for Vec<T> {
    const NAMES: &'static [&'static str] = T::NAMES;

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.iter().flat_map(Columns::rows).collect()
    }
}

/// The form in which a list is answered.
///
/// ```
/// assert_eq!(wire::ListFormat::Csv.media_type(), "text/csv");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ListFormat {
    /// JSON.
    Json,
    /// Comma-separated values (RFC 4180): a head, then rows; for spreadsheets.
    Csv,
}

impl ListFormat {
    /// The media type it is answered in.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Csv => "text/csv",
        }
    }
}
