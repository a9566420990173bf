//! The documents of records that are sealed, made from the books as they lie now.

use std::collections::HashMap;

use jiff::Timestamp;
use seal::{Document, SealedSettlement, SealedTicket};
use serde_json::Value;
use storage::{Books, SealedRecord};

use crate::http::refusal::Refusal;

/// A record as it is sealed.
#[derive(Clone, Debug, PartialEq)]
pub enum Sealable {
    /// An accepted ticket.
    Ticket(Box<SealedTicket>),
    /// A posted settlement.
    Settlement(Box<SealedSettlement>),
}

impl Sealable {
    /// Its document.
    ///
    /// # Errors
    ///
    /// Never: what lies in the books has a canonical form.
    pub fn document(&self) -> Result<Document, Refusal> {
        let document = match self {
            Self::Ticket(ticket) => Document::of(ticket),
            Self::Settlement(settlement) => Document::of(settlement),
        };
        document.map_err(Refusal::internal)
    }

    /// The same as JSON.
    ///
    /// # Errors
    ///
    /// As [`Sealable::document`].
    pub fn json(&self) -> Result<Value, Refusal> {
        let value = match self {
            Self::Ticket(ticket) => serde_json::to_value(ticket),
            Self::Settlement(settlement) => serde_json::to_value(settlement),
        };
        value.map_err(Refusal::internal)
    }

    /// The form of its document.
    #[must_use]
    pub fn form(&self) -> i16 {
        match self {
            Self::Ticket(ticket) => ticket.form,
            Self::Settlement(settlement) => settlement.form,
        }
    }

    /// When it came into the books, by its own account.
    #[must_use]
    pub fn entered_at(&self) -> Timestamp {
        match self {
            Self::Ticket(ticket) => ticket.accepted_at,
            Self::Settlement(settlement) => settlement.posted_at,
        }
    }

    /// What people call it.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Ticket(ticket) => format!("ticket {} {}", ticket.book, ticket.number),
            Self::Settlement(settlement) => {
                format!("the settlement of the week that ended on {}", settlement.week_ends_on)
            }
        }
    }
}

/// The records that are there, of those that are asked for.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn read(
    books: &mut Books,
    asked: &[SealedRecord],
) -> Result<HashMap<SealedRecord, Sealable>, Refusal> {
    let tickets: Vec<_> = asked
        .iter()
        .filter_map(|record| match record {
            SealedRecord::Ticket(id) => Some(*id),
            SealedRecord::Settlement(_) => None,
        })
        .collect();
    let mut found = HashMap::new();
    if !tickets.is_empty() {
        for ticket in books.sealed_tickets(&tickets).await? {
            found.insert(SealedRecord::Ticket(ticket.ticket_id), Sealable::Ticket(Box::new(ticket)));
        }
    }
    for record in asked {
        if let SealedRecord::Settlement(id) = record
            && let Some(settlement) = books.sealed_settlement(*id).await?
        {
            found.insert(*record, Sealable::Settlement(Box::new(settlement)));
        }
    }
    Ok(found)
}
