//! Payments: to workers, and from mills.

use jiff::civil::Date;
use kernel::{MillId, WorkerId};
use serde::Serialize;
use wire::{Listing, PaymentCreate, PaymentRecorded, PaymentView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which payments to list, and which page of them.
///
/// ```
/// use client::PaymentQuery;
/// assert_eq!(serde_json::to_string(&PaymentQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct PaymentQuery {
    /// To this worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// From this mill; one of the two at the most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
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
    /// Records a payment; the answer says where it leaves the balance.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the worker or the mill is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let payment = serde_json::from_str(
    ///     r#"{"party": {"worker_id": "0197a000-0000-7000-8000-000000000001"}, "dated": "2031-06-09",
    ///         "says": "in cash", "amount": "94.14"}"#,
    /// )?;
    /// println!("{} left", client.file_payment(&payment).await?.balance);
    /// # Ok(()) }
    /// ```
    pub async fn file_payment(&self, payment: &PaymentCreate) -> Result<PaymentRecorded, ClientError> {
        Ok(self.post("/v1/payments", payment, Repeat::Keyed).await?.body)
    }

    /// Lists payments, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for payment in client.list_payments(&client::PaymentQuery::default()).await?.items {
    ///     println!("{} {}", payment.payee.name, payment.amount);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_payments(&self, query: &PaymentQuery) -> Result<Listing<PaymentView>, ClientError> {
        self.get_with("/v1/payments", query).await
    }
}
