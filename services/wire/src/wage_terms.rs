//! Wage terms: what an outfit pays by the hour beside the pieces.

use crate::columns::columns;
use crate::{Cell, Columns};
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::WageTermsId;
use serde::{Deserialize, Serialize};
use settlement::WageTerms;

/// Files wage terms. They hold for weeks that begin on their day or later; weeks already posted are stated again, and
/// the difference comes in the open week.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WageTermsCreate {
    /// The first day that a week may begin on to be paid under them. They take the place of what was filed for that
    /// day, also for days past.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub effective_from: Date,
    /// What they say: the figures are the outfit's own, and nothing is added where none is entered.
    pub terms: WageTerms,
}

/// Wage terms as they were filed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WageTermsView {
    /// Their id.
    pub wage_terms_id: WageTermsId,
    /// They hold for weeks that begin on this day or later.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub effective_from: Date,
    /// Counts up with each terms filed; of two from the same day the higher one holds.
    pub revision: i32,
    /// What they say.
    pub terms: WageTerms,
    /// Who filed them.
    pub filed_by: String,
    /// When.
    pub filed_at: Timestamp,
}

/// Wage terms that were just filed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WageTermsFiled {
    /// The terms.
    pub wage_terms: WageTermsView,
    /// What this arithmetic is, and what it is not.
    pub caution: String,
}

/// Every wage terms of an outfit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WageTermsList {
    /// By day and revision.
    pub wage_terms: Vec<WageTermsView>,
    /// What this arithmetic is, and what it is not.
    pub caution: String,
}

columns!(WageTermsView: filed {
    "wage_terms_id" => filed.wage_terms_id,
    "effective_from" => filed.effective_from,
    "revision" => filed.revision,
    "guarantee_an_hour" => filed.terms.guarantee_an_hour,
    "minimum_an_hour" => filed.terms.minimum_an_hour,
    "overtime_after_hours" => filed.terms.overtime.map(|overtime| overtime.after_hours),
    "filed_by" => filed.filed_by,
    "filed_at" => filed.filed_at,
});

/// The terms; the caution is for whoever reads them as they are.
impl Columns for WageTermsList {
    const NAMES: &'static [&'static str] = WageTermsView::NAMES;

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.wage_terms.iter().flat_map(Columns::rows).collect()
    }
}
