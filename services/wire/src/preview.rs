//! What terms would have paid for days past.

use jiff::civil::Date;
use kernel::{Fixed, Money};
use serde::{Deserialize, Serialize};
use settlement::{Basis, RateUnit, Task};

use crate::{TermsCreate, TimeEntryView, UnpricedView};

/// Asks what terms would pay for a period. Nothing is kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsPreviewRequest {
    /// The terms, refused for the same reasons as when they are filed.
    pub terms: TermsCreate,
    /// The first day of the period.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub from: Date,
    /// Its last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub to: Date,
}

/// What a rate comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PreviewFigures {
    /// How much, in the unit that is counted.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The money, rounded as a settlement rounds it: once for each week, rate and division of pay.
    pub amount: Money,
}

/// A rate as it pays now, and as it would.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PreviewRate {
    /// The task it pays.
    pub task: Task,
    /// Its name; rates of the same name, unit and basis stand in one row.
    pub rate_name: String,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale; absent where nothing is scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// Under the terms in force.
    pub now: PreviewFigures,
    /// Under the proposed terms, on the days that they would hold for.
    pub proposed: PreviewFigures,
}

/// What terms would pay for a period beside what is paid for it now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsPreview {
    /// The first day of the period.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// Its last day. A week that is cut by the period counts with its days within it.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// How many standing tickets of the period hold work under the contract.
    pub tickets: u32,
    /// What each rate comes to.
    pub rates: Vec<PreviewRate>,
    /// All of it under the terms in force.
    pub now: Money,
    /// All of it under the proposed terms.
    pub proposed: Money,
    /// How much more the proposed terms would pay.
    pub difference: Money,
    /// What would be unpriced under the proposed terms and is not set aside; the first 1,000.
    pub unpriced: Vec<UnpricedView>,
    /// Paid time that would have no price under the proposed terms.
    pub unpriced_time: Vec<TimeEntryView>,
    /// Holes between the bands of otherwise equal rates of the proposed terms.
    pub gaps: Vec<String>,
}
