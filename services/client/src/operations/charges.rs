//! Charges against workers' pay.

use jiff::civil::Date;
use kernel::WorkerId;
use serde::Serialize;
use wire::{ChargeCreate, ChargeView, Listing};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which charges to list, and which page of them.
///
/// ```
/// use client::ChargeQuery;
/// assert_eq!(serde_json::to_string(&ChargeQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ChargeQuery {
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
    /// Charges a worker.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the worker is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let charge = serde_json::from_str(
    ///     r#"{"worker_id": "0197a000-0000-7000-8000-000000000001", "dated": "2031-06-07", "kind": "board",
    ///         "says": "seven days of meals", "amount": "10.50"}"#,
    /// )?;
    /// println!("{} to be taken", client.file_charge(&charge).await?.outstanding);
    /// # Ok(()) }
    /// ```
    pub async fn file_charge(&self, charge: &ChargeCreate) -> Result<ChargeView, ClientError> {
        Ok(self.post("/v1/charges", charge, Repeat::Keyed).await?.body)
    }

    /// Lists charges, oldest first, each with what was taken of it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for charge in client.list_charges(&client::ChargeQuery::default()).await?.items {
    ///     println!("{} {}", charge.payee.name, charge.outstanding);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_charges(&self, query: &ChargeQuery) -> Result<Listing<ChargeView>, ClientError> {
        self.get_with("/v1/charges", query).await
    }
}
