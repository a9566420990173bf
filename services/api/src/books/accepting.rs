//! Taking tickets into the books, one or thousands in one transaction.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{CrewId, JobId, TicketId};
use storage::{Books, Correction, Outfit, ScaleTicket, TermsInForce, Ticket};
use wire::{Code, TicketCreate};

use super::deriving::{Derived, derive};
use super::reading_ticket::{Acceptance, differences, record};
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What became of a ticket that was sent.
#[derive(Debug)]
pub enum Accepted {
    /// It is in the books now.
    New {
        /// Its id.
        ticket: TicketId,
        /// How many tasks and pieces on it nothing pays for.
        unpriced: usize,
    },
    /// It was there before, just as it was sent.
    Before(Box<Ticket>),
}

/// Takes tickets into the books within one transaction. Nobody files terms or crews meanwhile, so what was looked up
/// for one ticket holds for the next.
#[derive(Debug)]
pub struct Acceptor<'a> {
    service: &'a Service,
    member: &'a Member,
    outfit: Outfit,
    crews: BTreeSet<CrewId>,
    in_force: BTreeMap<(JobId, Date), Vec<TermsInForce>>,
}

impl<'a> Acceptor<'a> {
    /// Joins those who add tickets.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn open(books: &mut Books, service: &'a Service, member: &'a Member) -> Result<Self, Refusal> {
        books.enter_records().await?;
        let outfit = own(books).await?;
        Ok(Self { service, member, outfit, crews: BTreeSet::new(), in_force: BTreeMap::new() })
    }

    /// Takes a ticket into the books. Everything that can be known beforehand is looked at before anything is written:
    /// a refusal without a cause has left nothing behind in the transaction.
    ///
    /// # Errors
    ///
    /// [`Code::TicketInconsistent`], [`Code::TicketDiffers`], [`Code::TicketCorrected`],
    /// [`Code::NamesMissingRecord`], [`Code::TooLarge`].
    pub async fn accept(
        &mut self,
        books: &mut Books,
        sent: &TicketCreate,
        corrects: Option<Correction>,
        pointer: &str,
    ) -> Result<Accepted, Refusal> {
        let service = self.service;
        let now = service.clock.now();
        let acceptance = Acceptance {
            id: service.ids.make(),
            stamp: self.member.stamp(service.clock.as_ref()),
            today: self.outfit.time_zone.to_datetime(now).date(),
            corrects,
        };
        let ticket = record(sent, acceptance, pointer)?;
        self.check_crews(books, &ticket).await?;
        let in_force = self.terms_in_force(books, &ticket).await?;
        let derived = match derive(&ticket, in_force, &service.ids, now) {
            Ok(derived) => derived,
            // Terms that came later cannot take back what was accepted before.
            Err(refusal) => return before(books, &ticket).await?.ok_or(refusal),
        };
        if !books.add_ticket(&ticket).await? {
            let before = before(books, &ticket).await?;
            return before.ok_or_else(|| Refusal::internal("a ticket is in the way and cannot be read"));
        }
        let Derived { derivations, unpriced } = derived;
        for derivation in &derivations {
            books.add_derivation(derivation, ticket.scaled_on).await?;
        }
        books.add_unpriced(&unpriced).await?;
        Ok(Accepted::New { ticket: ticket.id, unpriced: unpriced.len() })
    }

    /// The crews stand inside the ticket's document, where the database cannot hold them to the outfit's own.
    async fn check_crews(&mut self, books: &mut Books, ticket: &ScaleTicket) -> Result<(), Refusal> {
        for crew in ticket.work.iter().map(|work| work.crew) {
            if self.crews.contains(&crew) {
                continue;
            }
            if books.crew(crew).await?.is_none() {
                return Err(Refusal::new(Code::NamesMissingRecord, format!("there is no crew {crew}")));
            }
            self.crews.insert(crew);
        }
        Ok(())
    }

    async fn terms_in_force(
        &mut self,
        books: &mut Books,
        ticket: &ScaleTicket,
    ) -> Result<&[TermsInForce], Refusal> {
        use std::collections::btree_map::Entry;
        match self.in_force.entry((ticket.job, ticket.scaled_on)) {
            Entry::Occupied(known) => Ok(known.into_mut()),
            Entry::Vacant(unknown) => {
                Ok(unknown.insert(books.terms_in_force(ticket.job, ticket.scaled_on).await?))
            }
        }
    }
}

/// The ticket that was accepted under this book and number, if one was.
async fn before(books: &mut Books, sent: &ScaleTicket) -> Result<Option<Accepted>, Refusal> {
    let Some(accepted) = books.ticket_in_book(&sent.book, sent.number).await? else { return Ok(None) };
    if accepted.record.fingerprint == sent.fingerprint {
        return Ok(Some(Accepted::Before(Box::new(accepted))));
    }
    let name = format!("ticket {} {}", sent.book, sent.number);
    let detail = format!("{name} was accepted on {} with other content", accepted.record.accepted.at);
    Err(Refusal::new(Code::TicketDiffers, detail).at(differences(&accepted.record, sent)?))
}
