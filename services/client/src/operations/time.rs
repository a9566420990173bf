//! Hours of workers.

use jiff::civil::Date;
use kernel::WorkerId;
use serde::Serialize;
use wire::{Listing, TimeEntryCreate, TimeEntryView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which hours to list.
///
/// ```
/// use client::TimeQuery;
/// let standing = TimeQuery { standing: Some(true), ..TimeQuery::default() };
/// assert_eq!(serde_json::to_string(&standing)?, r#"{"standing":true}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TimeQuery {
    /// Of this worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// Worked on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Worked on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// Only entries that count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<bool>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Files hours of a worker. Not sent again when the answer is lost, for the service could not tell a repeat from
    /// more hours: list the day first.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the hours contradict themselves, or correct what was corrected.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let hours = serde_json::from_str(
    ///     r#"{"worker_id": "0197a000-0000-7000-8000-000000000001", "worked_on": "2031-06-03", "hours": "9.5",
    ///         "what_for": {"kind": "piece_work"}}"#,
    /// )?;
    /// println!("{}", client.file_time(&hours).await?.time_entry_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_time(&self, hours: &TimeEntryCreate) -> Result<TimeEntryView, ClientError> {
        Ok(self.post("/v1/time-entries", hours, Repeat::Keyed).await?.body)
    }

    /// Lists hours, a page at a time.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_time(&client::TimeQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_time(&self, query: &TimeQuery) -> Result<Listing<TimeEntryView>, ClientError> {
        self.get_with("/v1/time-entries", query).await
    }
}
