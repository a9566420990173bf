//! Something to be filed, as it is sent: where to, what, and under which key.
//!
//! A [`Filing`] can be kept before it is sent, sent under a key of the caller's own, sent again under the same key when its
//! answer was lost, or only rehearsed. What is filed twice under one key is done once, and answered as the first time.

use std::marker::PhantomData;

use kernel::{ContractId, TicketId};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use sha2::{Digest, Sha256};
use wire::{
    AdvanceCreate, AdvanceView, ChargeCreate, ChargeView, ContractCreate, ContractView, CorrectionCreate,
    Name, PaymentCreate, PaymentRecorded, ReleaseCreate, ReleaseView, ReversalCreate, ReversalView,
    ScalerCertificateCreate, ScalerCertificateView, SetAsideCreate, SetAsideView, TermsCreate, TermsFiled,
    TicketView, TimeEntryCreate, TimeEntryView, VoidedNumbersCreate, VoidedNumbersView,
};

use crate::operations::in_path;
use crate::outbox::Key;
use crate::{Client, ClientError};

/// The key of whatever these texts say, in this order: the same for the same, always.
///
/// ```
/// use client::filing::key_of;
/// assert_eq!(key_of(&["hours", "row"]), key_of(&["hours", "row"]));
/// assert_ne!(key_of(&["hours", "row"]), key_of(&["hoursrow"]));
/// ```
#[must_use]
pub fn key_of(texts: &[&str]) -> Key {
    let mut hash = Sha256::new();
    for text in texts {
        // With its length before it, so that no two lists of texts run into one.
        hash.update(format!("{}:{text};", text.len()));
    }
    Key::Header(format!("\"{}\"", kernel::hexadecimal(&hash.finalize())))
}

/// What came of a filing.
#[derive(Clone, Debug, PartialEq)]
pub struct Filed<T> {
    /// The record as it stands in the books; of a rehearsal, as it would.
    pub record: T,
    /// Whether it had been filed before under the same key, so that nothing has changed.
    pub replayed: bool,
}

/// How to file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct How {
    /// Under which key; one of its own when none.
    pub key: Option<Key>,
    /// Whether only to go through all of it and keep nothing.
    pub rehearsal: bool,
}

/// Something to be filed, and the type `T` of the record that it becomes.
///
/// ```
/// use client::filing::Filing;
/// let charge: wire::ChargeCreate = serde_json::from_str(
///     r#"{"worker_id": "0197a000-0000-7000-8000-000000000001", "dated": "2031-06-09", "kind": "tools",
///         "says": "a broadaxe handle", "amount": "0.60"}"#,
/// )?;
/// assert_eq!(Filing::charge(&charge)?.path(), "/v1/charges");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Filing<T> {
    operation: &'static str,
    path: String,
    body: Value,
    record: PhantomData<fn() -> T>,
}

impl<T> Filing<T> {
    fn new(
        operation: &'static str,
        path: impl Into<String>,
        body: &impl Serialize,
    ) -> Result<Self, serde_json::Error> {
        Ok(Self { operation, path: path.into(), body: serde_json::to_value(body)?, record: PhantomData })
    }

    /// The same as it is kept in the outbox.
    #[must_use]
    pub fn kept(&self, key: Key) -> crate::outbox::Filing {
        let Self { operation, path, body, .. } = self;
        let what = operation.replace('_', " ");
        let says = ["says", "reason", "worked_on", "title", "certificate"]
            .iter()
            .find_map(|member| body.get(member)?.as_str())
            .map_or_else(|| what.clone(), |says| format!("{what}: {says}"));
        crate::outbox::Filing {
            operation: (*operation).to_owned(),
            path: path.clone(),
            body: body.clone(),
            key,
            says,
            stamp: None,
            follows: None,
        }
    }

    /// Where it is sent to.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// What is sent.
    #[must_use]
    pub const fn body(&self) -> &Value {
        &self.body
    }
}

macro_rules! filings {
    ($($(#[$doc:meta])* $name:ident($($part:ident: $type:ty),*; $body:ty) -> $record:ty = $operation:ident $path:expr;)+) => {$(
        impl Filing<$record> {
            $(#[$doc])*
            ///
            /// # Errors
            ///
            /// When it cannot be written as JSON.
            pub fn $name($($part: $type,)* body: &$body) -> Result<Self, serde_json::Error> {
                Self::new(stringify!($operation), $path, body)
            }
        }
    )+};
}

filings! {
    /// A charge against a worker's pay.
    charge(; ChargeCreate) -> ChargeView = file_charge "/v1/charges";
    /// An advance to a worker.
    advance(; AdvanceCreate) -> AdvanceView = file_advance "/v1/advances";
    /// A payment to a worker, or from a mill.
    payment(; PaymentCreate) -> PaymentRecorded = file_payment "/v1/payments";
    /// Hours of a worker.
    time(; TimeEntryCreate) -> TimeEntryView = file_time "/v1/time-entries";
    /// Holdback let go.
    release(; ReleaseCreate) -> ReleaseView = release_holdback "/v1/holdback-releases";
    /// A record of money taken back.
    reversal(; ReversalCreate) -> ReversalView = file_reversal "/v1/reversals";
    /// A task of a ticket set aside.
    set_aside(ticket: TicketId; SetAsideCreate) -> SetAsideView = set_aside format!("/v1/tickets/{ticket}/set-asides");
    /// Numbers of a scale book that no ticket will have.
    voided_numbers(book: &Name; VoidedNumbersCreate) -> VoidedNumbersView = void_numbers         format!("/v1/scale-books/{}/voided-numbers", in_path(book.as_str()));
    /// A scaler's certificate.
    certificate(; ScalerCertificateCreate) -> ScalerCertificateView = file_scaler_certificate "/v1/scaler-certificates";
    /// A contract with its first terms.
    contract(; ContractCreate) -> ContractView = file_contract "/v1/contracts";
    /// New terms of a contract.
    terms(contract: ContractId; TermsCreate) -> TermsFiled = file_terms format!("/v1/contracts/{contract}/terms");
    /// A ticket in the place of a wrong one.
    correction(wrong: TicketId; CorrectionCreate) -> TicketView = correct_ticket format!("/v1/tickets/{wrong}/corrections");
}

impl Client {
    /// Files something.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, charge: wire::ChargeCreate) -> Result<(), Box<dyn std::error::Error>> {
    /// use client::filing::{Filing, How, key_of};
    /// let how = How { key: Some(key_of(&["charge", "17"])), rehearsal: false };
    /// let first = client.file(&Filing::charge(&charge)?, &how).await?;
    /// let again = client.file(&Filing::charge(&charge)?, &how).await?;
    /// assert!(again.replayed && again.record.charge_id == first.record.charge_id);
    /// # Ok(()) }
    /// ```
    pub async fn file<T: DeserializeOwned>(
        &self,
        filing: &Filing<T>,
        how: &How,
    ) -> Result<Filed<T>, ClientError> {
        let path = if how.rehearsal { format!("{}?dry_run=true", filing.path) } else { filing.path.clone() };
        let key = how.key.clone().unwrap_or_else(|| Key::new(self.entropy.as_ref()));
        let answer = self.post_kept(&path, &filing.body, key.header()).await?;
        let record =
            serde_json::from_value(Value::Object(answer.body)).map_err(|error| self.unreadable(&error))?;
        // A rehearsal is answered 200 as well.
        Ok(Filed { record, replayed: answer.replayed && !how.rehearsal })
    }
}
