//! Mill tallies, and what they come to beside the scale.

use jiff::civil::Date;
use kernel::{JobId, MillId, MillTallyId};
use serde::Serialize;
use wire::{Listing, MillTallyCreate, MillTallyView, OverrunAudit, WithdrawalCreate};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which mill tallies to list, and which page of them.
///
/// ```
/// use client::MillTallyQuery;
/// assert_eq!(serde_json::to_string(&MillTallyQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct MillTallyQuery {
    /// Of this mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// Of this job alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Whose days reach to this one or past it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Whose days begin on this one or before it.
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

/// Which tallies to hold against the scale.
///
/// ```
/// use client::OverrunQuery;
/// use jiff::civil::date;
/// let june = OverrunQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), mill_id: None, job_id: None };
/// assert_eq!(serde_json::to_string(&june)?, r#"{"from":"2031-06-01","to":"2031-06-30"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct OverrunQuery {
    /// The first day; a tally counts whole when its days reach to it or past it.
    pub from: Date,
    /// The last day; a tally counts whole when its days begin on it or before it.
    pub to: Date,
    /// Only tallies of this mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// Only tallies of this job alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
}

impl Client {
    /// Files what a mill sawed out of the logs of some days.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, mill: kernel::MillId) -> Result<(), Box<dyn std::error::Error>> {
    /// let tally = serde_json::from_value(serde_json::json!({
    ///     "mill_id": mill, "from": "2031-06-01", "to": "2031-06-07", "lumber": {"in_all": "48250"},
    ///     "lumber_state": "rough_green", "tallied_by": "the tallyman of the mill"
    /// }))?;
    /// client.file_mill_tally(&tally).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_mill_tally(&self, tally: &MillTallyCreate) -> Result<MillTallyView, ClientError> {
        Ok(self.post("/v1/mill-tallies", tally, Repeat::Keyed).await?.body)
    }

    /// Lists mill tallies, oldest filed first. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn list_mill_tallies(
        &self,
        query: &MillTallyQuery,
    ) -> Result<Listing<MillTallyView>, ClientError> {
        self.get_with("/v1/mill-tallies", query).await
    }

    /// Shows a mill tally.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn show_mill_tally(&self, id: MillTallyId) -> Result<MillTallyView, ClientError> {
        self.get(&format!("/v1/mill-tallies/{id}")).await
    }

    /// Takes a mill tally back; it stays readable.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    pub async fn withdraw_mill_tally(
        &self,
        id: MillTallyId,
        withdrawal: &WithdrawalCreate,
    ) -> Result<MillTallyView, ClientError> {
        let path = format!("/v1/mill-tallies/{id}/withdrawal");
        Ok(self.post(&path, withdrawal, Repeat::Keyed).await?.body)
    }

    /// Holds mill tallies against the scale of their logs. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june =
    ///     client::OverrunQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), mill_id: None, job_id: None };
    /// print!("{}", client::text::overrun(&client.audit_overrun(&june).await?));
    /// # Ok(()) }
    /// ```
    pub async fn audit_overrun(&self, query: &OverrunQuery) -> Result<OverrunAudit, ClientError> {
        self.get_with("/v1/audit/overrun", query).await
    }
}
