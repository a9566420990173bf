//! What was sent, and what of it was acknowledged: the record that the books are held against.

use std::collections::BTreeMap;
use std::time::Instant;

use jiff::civil::Date;
use kernel::{SettlementId, TicketId};
use wire::TicketCreate;

/// A ticket's identity: its book and number.
pub type Name = (String, u32);

/// A ticket as it was sent.
#[derive(Clone, Debug)]
pub struct SentTicket {
    /// What was sent, the same each time.
    pub content: TicketCreate,
    /// The ticket that it takes the place of.
    pub corrects: Option<Name>,
    /// The id it was acknowledged with.
    pub acknowledged: Option<TicketId>,
}

/// Everything that was sent and answered.
#[derive(Debug, Default)]
pub struct Sent {
    /// Every ticket.
    pub tickets: BTreeMap<Name, SentTicket>,
    /// Every posting that was tried: the week, and whether it was acknowledged.
    pub postings: BTreeMap<SettlementId, (Date, bool)>,
    /// How requests ended that were not acknowledged.
    pub endings: BTreeMap<String, u64>,
    /// What must not be.
    pub faults: Vec<String>,
    /// How many answers acknowledged a ticket.
    pub acknowledgements: u64,
    /// How many of them said that it was there before.
    pub replays: u64,
}

impl Sent {
    /// A ticket that is about to be sent.
    pub fn sending(&mut self, content: &TicketCreate, corrects: Option<Name>) {
        let name = name_of(content);
        let ticket = SentTicket { content: content.clone(), corrects, acknowledged: None };
        self.tickets.entry(name).or_insert(ticket);
    }

    /// A ticket that was acknowledged. It has one id, however often it is acknowledged.
    pub fn acknowledge(&mut self, name: &Name, id: TicketId, replayed: bool) {
        self.acknowledgements += 1;
        self.replays += u64::from(replayed);
        match self.tickets.get_mut(name) {
            None => self.faults.push(format!("a ticket that nobody sent was acknowledged: {name:?}")),
            Some(ticket) => {
                let first = *ticket.acknowledged.get_or_insert(id);
                if first != id {
                    let says = format!("ticket {name:?} was acknowledged as {first} and as {id}");
                    self.faults.push(says);
                }
            }
        }
    }

    /// A request that was not acknowledged.
    pub fn ended(&mut self, how: &str) {
        *self.endings.entry(how.to_owned()).or_default() += 1;
    }

    /// The ticket that took a ticket's place, by the ticket whose place was taken.
    pub fn corrections(&self) -> BTreeMap<&Name, &Name> {
        self.tickets.iter().filter_map(|(name, ticket)| Some((ticket.corrects.as_ref()?, name))).collect()
    }

    /// The endings, in words.
    pub fn endings_told(&self) -> String {
        let told: Vec<_> = self.endings.iter().map(|(how, count)| format!("{how} {count}")).collect();
        if told.is_empty() { "none".to_owned() } else { told.join(", ") }
    }
}

/// A ticket's identity.
pub fn name_of(ticket: &TicketCreate) -> Name {
    (ticket.book.as_str().to_owned(), ticket.number)
}

/// How far the work has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress {
    /// How many acknowledgements there were.
    pub acknowledged: u64,
    /// When the request was sent whose acknowledgement is the latest sent of all.
    pub latest_sent: Instant,
}
