//! Advances: money handed to workers before it was earned.

use jiff::civil::Date;
use kernel::WorkerId;
use serde::Serialize;
use wire::{AdvanceCreate, AdvanceView, Listing};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which advances to list, and which page of them.
///
/// ```
/// use client::AdvanceQuery;
/// assert_eq!(serde_json::to_string(&AdvanceQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct AdvanceQuery {
    /// Of this worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// Of this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Of this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Records an advance.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the worker is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let advance = serde_json::from_str(
    ///     r#"{"worker_id": "0197a000-0000-7000-8000-000000000001", "dated": "2031-06-03", "says": "for boots",
    ///         "amount": "40.00", "recovery": {"by": "most_a_week", "amount": "10.00"}}"#,
    /// )?;
    /// println!("{}", client.file_advance(&advance).await?.advance_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_advance(&self, advance: &AdvanceCreate) -> Result<AdvanceView, ClientError> {
        Ok(self.post("/v1/advances", advance, Repeat::Keyed).await?.body)
    }

    /// Lists advances, oldest first, each with what was recovered of it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for advance in client.list_advances(&client::AdvanceQuery::default()).await?.items {
    ///     println!("{} {}", advance.payee.name, advance.outstanding);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_advances(&self, query: &AdvanceQuery) -> Result<Listing<AdvanceView>, ClientError> {
        self.get_with("/v1/advances", query).await
    }
}
