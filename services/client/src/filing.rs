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
use crate::{Client, ClientError};

/// The key by which a filing that is sent again is known.
///
/// ```
/// use client::filing::Key;
/// assert_eq!(Key::of(&["hours", "row"]), Key::of(&["hours", "row"]));
/// assert_ne!(Key::of(&["hours", "row"]), Key::of(&["hoursrow"]));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key(String);

impl Key {
    /// The key of whatever these texts say, in this order: the same for the same, always.
    #[must_use]
    pub fn of(texts: &[&str]) -> Self {
        let mut hash = Sha256::new();
        for text in texts {
            // With its length before it, so that no two lists of texts run into one.
            hash.update(format!("{}:{text};", text.len()));
        }
        Self(kernel::hexadecimal(&hash.finalize()))
    }

    /// The key as it is sent, without its quotation marks.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
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
    path: String,
    body: Value,
    record: PhantomData<fn() -> T>,
}

impl<T> Filing<T> {
    fn new(path: impl Into<String>, body: &impl Serialize) -> Result<Self, serde_json::Error> {
        Ok(Self { path: path.into(), body: serde_json::to_value(body)?, record: PhantomData })
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
    ($($(#[$doc:meta])* $name:ident($($part:ident: $type:ty),*; $body:ty) -> $record:ty = $path:expr;)+) => {$(
        impl Filing<$record> {
            $(#[$doc])*
            ///
            /// # Errors
            ///
            /// When it cannot be written as JSON.
            pub fn $name($($part: $type,)* body: &$body) -> Result<Self, serde_json::Error> {
                Self::new($path, body)
            }
        }
    )+};
}

filings! {
    /// A charge against a worker's pay.
    charge(; ChargeCreate) -> ChargeView = "/v1/charges";
    /// An advance to a worker.
    advance(; AdvanceCreate) -> AdvanceView = "/v1/advances";
    /// A payment to a worker, or from a mill.
    payment(; PaymentCreate) -> PaymentRecorded = "/v1/payments";
    /// Hours of a worker.
    time(; TimeEntryCreate) -> TimeEntryView = "/v1/time-entries";
    /// Holdback let go.
    release(; ReleaseCreate) -> ReleaseView = "/v1/holdback-releases";
    /// A record of money taken back.
    reversal(; ReversalCreate) -> ReversalView = "/v1/reversals";
    /// A task of a ticket set aside.
    set_aside(ticket: TicketId; SetAsideCreate) -> SetAsideView = format!("/v1/tickets/{ticket}/set-asides");
    /// Numbers of a scale book that no ticket will have.
    voided_numbers(book: &Name; VoidedNumbersCreate) -> VoidedNumbersView =
        format!("/v1/scale-books/{}/voided-numbers", in_path(book.as_str()));
    /// A scaler's certificate.
    certificate(; ScalerCertificateCreate) -> ScalerCertificateView = "/v1/scaler-certificates";
    /// A contract with its first terms.
    contract(; ContractCreate) -> ContractView = "/v1/contracts";
    /// New terms of a contract.
    terms(contract: ContractId; TermsCreate) -> TermsFiled = format!("/v1/contracts/{contract}/terms");
    /// A ticket in the place of a wrong one.
    correction(wrong: TicketId; CorrectionCreate) -> TicketView = format!("/v1/tickets/{wrong}/corrections");
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
    /// use client::filing::{Filing, How, Key};
    /// let how = How { key: Some(Key::of(&["charge", "17"])), rehearsal: false };
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
        let answer = self.post_keyed(&path, &filing.body, how.key.as_ref().map(Key::as_str)).await?;
        // A rehearsal is answered 200 as well.
        Ok(Filed { record: answer.body, replayed: answer.replayed && !how.rehearsal })
    }
}
