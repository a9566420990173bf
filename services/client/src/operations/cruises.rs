//! Cruises, and what was cut beside what they expected.

use audit::Confidence;
use jiff::civil::Date;
use kernel::{ContractId, CruiseId, Fixed, JobId};
use serde::Serialize;
use wire::{CruiseCreate, CruiseSummary, CruiseView, CutOutAudit, Listing, WithdrawalCreate};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which cruises to list, and which page of them.
///
/// ```
/// use client::CruiseQuery;
/// assert_eq!(serde_json::to_string(&CruiseQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CruiseQuery {
    /// Of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Done on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Done on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// Only those that were not taken back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<bool>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

/// What to ask about an estimate.
///
/// ```
/// use client::EstimateQuery;
/// assert_eq!(serde_json::to_string(&EstimateQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct EstimateQuery {
    /// How sure the interval is to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<Confidence>,
    /// An error that would be allowed, in percent of the estimate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed_percent: Option<Fixed>,
}

/// Which cruise to hold what was cut against, and on which contract's scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CutOutQuery {
    /// The cruise.
    pub cruise_id: CruiseId,
    /// A contract of the same job.
    pub contract_id: ContractId,
    /// The last day whose tickets are counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// How sure the interval is to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<Confidence>,
}

impl Client {
    /// Files a cruise of a job's standing timber.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when a tree has no volume by the formula.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, job: kernel::JobId) -> Result<(), Box<dyn std::error::Error>> {
    /// let cruise = serde_json::from_value(serde_json::json!({
    ///     "job_id": job, "cruised_on": "2031-05-04", "cruiser": "Ida Holmquill",
    ///     "measured": {
    ///         "method": {"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"acres": "40"}},
    ///         "formula": {"by": "form_class_table", "rule": "scribner"},
    ///         "plots": [{"trees": [{"species": "red pine", "diameter_in": "16", "logs": "2.5"}]}, {"trees": []}]
    ///     }
    /// }))?;
    /// print!("{}", client::text::cruise(&client.file_cruise(&cruise).await?));
    /// # Ok(()) }
    /// ```
    pub async fn file_cruise(&self, cruise: &CruiseCreate) -> Result<CruiseView, ClientError> {
        Ok(self.post("/v1/cruises", cruise, Repeat::Keyed).await?.body)
    }

    /// Lists cruises without their trees, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn list_cruises(&self, query: &CruiseQuery) -> Result<Listing<CruiseSummary>, ClientError> {
        self.get_with("/v1/cruises", query).await
    }

    /// Shows a cruise with what it says of the tract.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn show_cruise(&self, id: CruiseId, query: &EstimateQuery) -> Result<CruiseView, ClientError> {
        self.get_with(&format!("/v1/cruises/{id}"), query).await
    }

    /// Takes a cruise back; it stays readable.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn withdraw_cruise(
        &self,
        id: CruiseId,
        withdrawal: &WithdrawalCreate,
    ) -> Result<CruiseSummary, ClientError> {
        Ok(self.post(&format!("/v1/cruises/{id}/withdrawal"), withdrawal, Repeat::Keyed).await?.body)
    }

    /// Holds what was cut against what a cruise expected.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn audit_cut_out(&self, query: &CutOutQuery) -> Result<CutOutAudit, ClientError> {
        self.get_with("/v1/audit/cut-out", query).await
    }
}
