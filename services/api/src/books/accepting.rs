//! Taking tickets into the books, one or thousands in one transaction.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use kernel::ContractId;
use storage::{
    Agreement, AskedParty, AskedTicket, Books, ContractParty, Correction, Ground, NewTicket, Outfit,
    ScaleTicket, TakenIn, Terms, Ticket, TicketGround,
};
use wire::{Code, TicketCreate};

use super::deriving::{Derived, derive};
use super::reading_ticket::{Acceptance, differences, record};
use crate::http::caller::Member;
use crate::http::filing::AuditMark;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What becomes of a ticket that was sent.
#[derive(Debug)]
pub enum Taken {
    /// It is new, and goes into the books with the next [`Acceptor::write`].
    New(Box<NewTicket>),
    /// It was there before, just as it was sent.
    Before(Box<Ticket>),
}

/// Takes tickets into the books within one transaction. What they stand on is read for all of them at once; nobody files
/// terms, crews or settlements meanwhile, so it holds until the transaction ends.
#[derive(Debug)]
pub struct Acceptor<'a> {
    service: &'a Service,
    member: &'a Member,
    mark: AuditMark,
    outfit: Arc<Outfit>,
    grounds: Vec<TicketGround>,
    agreements: BTreeMap<AskedParty, Agreement>,
}

impl<'a> Acceptor<'a> {
    /// Joins those who add tickets, and reads what these ones stand on.
    ///
    /// # Errors
    ///
    /// [`Code::TokenRefused`] when the token names an outfit that is not there; whatever the books answer.
    pub async fn open(
        books: &mut Books,
        service: &'a Service,
        member: &'a Member,
        mark: AuditMark,
        sent: &[&TicketCreate],
    ) -> Result<Self, Refusal> {
        books.enter_tickets().await?;
        let (asked, parties) = asked_about(sent);
        let ground = books.ground(&asked, &parties).await?;
        Self::on(books, (service, member, mark), parties, ground).await
    }

    /// The same where it was read already.
    async fn on(
        books: &mut Books,
        (service, member, mark): (&'a Service, &'a Member, AuditMark),
        parties: Vec<AskedParty>,
        ground: Ground,
    ) -> Result<Self, Refusal> {
        let outfit = books.known_outfit().await?;
        let outfit = outfit.ok_or_else(|| {
            Refusal::new(Code::TokenRefused, "the access token names an outfit that is not there")
        })?;
        // By the order of ids it is told what a posting knew of, also where another instance made it.
        if let Some(posted) = ground.latest_posting {
            service.ids.go_on_after(posted);
        }
        let agreements = parties.into_iter().zip(ground.agreements).collect();
        Ok(Self { service, member, mark, outfit, grounds: ground.tickets, agreements })
    }

    /// Looks at the ticket that was sent at this place. Everything that can be known beforehand is known now: a refusal
    /// has left nothing behind in the transaction.
    ///
    /// # Errors
    ///
    /// [`Code::TicketInconsistent`], [`Code::TicketDiffers`], [`Code::NamesMissingRecord`], [`Code::NumberVoided`],
    /// [`Code::TooLarge`].
    pub async fn take(
        &self,
        books: &mut Books,
        place: usize,
        sent: &TicketCreate,
        corrects: Option<Correction>,
        pointer: &str,
    ) -> Result<Taken, Refusal> {
        let service = self.service;
        let now = service.clock.now();
        let ground =
            self.grounds.get(place).ok_or_else(|| Refusal::internal("a ticket was not asked about"))?;
        let acceptance = Acceptance {
            id: service.ids.make(),
            stamp: self.member.stamp(service.clock.as_ref()),
            today: self.outfit.time_zone.to_datetime(now).date(),
            corrects,
            late_for: ground.late_for,
        };
        let ticket = record(sent, acceptance, pointer)?;
        // What was accepted before stays so, whatever has been filed since.
        if ground.number_is_taken
            && let Some(before) = before(books, &ticket).await?
        {
            return Ok(Taken::Before(before));
        }
        self.check_named(sent, ground)?;
        if ground.number_is_voided {
            return Err(voided(books, &ticket).await?);
        }
        let agreed = |party| self.agreements.get(&asked_party(sent, party)).cloned();
        let Derived { derivations, unpriced } = derive(&ticket, agreed, &service.ids, now)?;
        let entry = self.mark.of(service, self.member, ticket.id);
        Ok(Taken::New(Box::new(NewTicket {
            record: ticket,
            derivations,
            unpriced,
            entry,
            scaler_certificate: ground.scaler_certificate,
        })))
    }

    /// Puts new tickets into the books; answers with those whose book and number somebody else has taken meanwhile, each
    /// with the ticket that was accepted under them, or why this one is refused.
    ///
    /// # Errors
    ///
    /// [`Code::TicketCorrected`] and whatever else the books answer; the transaction is good for nothing more then.
    pub async fn write(books: &mut Books, new: &[NewTicket]) -> Result<Overtaken, Refusal> {
        let added = books.add_tickets(new).await?;
        overtaken(books, new, &added).await
    }

    /// The title and the terms of a contract that something was derived under.
    #[must_use]
    pub fn terms_of(&self, contract: ContractId) -> Option<(&str, &Terms)> {
        let mut held =
            self.agreements.values().filter_map(|one| one.contract.as_ref().zip(one.terms.as_deref()));
        held.find(|(held, _)| held.id == contract).map(|(held, terms)| (held.title.as_str(), terms))
    }

    /// Crews stand inside the ticket's document, where the database cannot hold them to the outfit's own; the others are
    /// looked at here so that one wrong ticket does not spoil the transaction of many.
    fn check_named(&self, sent: &TicketCreate, ground: &TicketGround) -> Result<(), Refusal> {
        let missing = |detail: String| Err(Refusal::new(Code::NamesMissingRecord, detail));
        for asked in parties_on(sent) {
            let known = self.agreements.get(&asked).is_some_and(|agreement| agreement.party_is_known);
            match asked.party {
                _ if known => {}
                ContractParty::Crew(crew) => return missing(format!("there is no crew {crew}")),
                ContractParty::Mill(mill) => return missing(format!("there is no mill {mill}")),
            }
        }
        if !ground.landing_is_known {
            return missing(format!("there is no landing {} on the job {}", sent.landing_id, sent.job_id));
        }
        Ok(())
    }
}

/// Tickets that were new and turned out not to be, each with the one that was accepted meanwhile under its book and number,
/// or why it is refused.
pub type Overtaken = HashMap<kernel::TicketId, Result<Box<Ticket>, Refusal>>;

async fn overtaken(
    books: &mut Books,
    new: &[NewTicket],
    added: &HashSet<kernel::TicketId>,
) -> Result<Overtaken, Refusal> {
    let mut overtaken = HashMap::new();
    for one in new.iter().filter(|one| !added.contains(&one.record.id)) {
        let outcome = match before(books, &one.record).await {
            Ok(before) => {
                before.ok_or_else(|| Refusal::internal("a ticket is in the way and cannot be read"))
            }
            Err(refusal) => Err(refusal),
        };
        overtaken.insert(one.record.id, outcome);
    }
    Ok(overtaken)
}

/// Takes tickets in and keeps them: `decide` looks at them and says which are new. It answers with what was decided besides,
/// the tickets that were new, and those of them that somebody else was faster with.
///
/// # Errors
///
/// As [`Acceptor::open`] and [`Acceptor::write`]; what `decide` answers. Nothing was kept then, unless it says that this is
/// not known.
pub async fn take_in<'a, T>(
    service: &'a Service,
    member: &'a Member,
    mark: AuditMark,
    sent: &[&TicketCreate],
    decide: impl AsyncFnOnce(&mut Books, &Acceptor<'a>) -> Result<(T, Vec<NewTicket>), Refusal>,
) -> Result<(T, Vec<NewTicket>, Overtaken), Refusal> {
    let (asked, parties) = asked_about(sent);
    let taken = service
        .store
        .take_in(member.access(), (&asked, &parties), async |books, ground| {
            let acceptor = Acceptor::on(books, (service, member, mark), parties.clone(), ground).await?;
            decide(books, &acceptor).await
        })
        .await?;
    let TakenIn { decided, new, added } = taken;
    if added.len() == new.len() {
        return Ok((decided, new, Overtaken::new()));
    }
    let overtaken = service.read(member, async |books| overtaken(books, &new, &added).await).await?;
    Ok((decided, new, overtaken))
}

/// What is asked of the books about tickets that were sent.
fn asked_about<'a>(sent: &[&'a TicketCreate]) -> (Vec<AskedTicket<'a>>, Vec<AskedParty>) {
    let tickets = sent.iter().map(|sent| AskedTicket {
        book: sent.book.as_str(),
        number: sent.number.into(),
        job: sent.job_id,
        landing: sent.landing_id,
        scaled_on: sent.scaled_on,
        scaler: sent.scaler.as_str(),
    });
    let parties: BTreeSet<_> = sent.iter().flat_map(|sent| parties_on(sent)).collect();
    (tickets.collect(), parties.into_iter().collect())
}

fn asked_party(sent: &TicketCreate, party: ContractParty) -> AskedParty {
    AskedParty { job: sent.job_id, day: sent.scaled_on, party }
}

/// Everybody who is named on a ticket.
fn parties_on(sent: &TicketCreate) -> impl Iterator<Item = AskedParty> {
    let crews = sent.work.iter().map(|work| ContractParty::Crew(work.crew_id));
    crews.chain(sent.delivered_to.map(ContractParty::Mill)).map(|party| asked_party(sent, party))
}

/// Why a number that was voided belongs to no ticket. Whoever voids numbers has the books to himself, so none is voided at
/// this moment.
async fn voided(books: &mut Books, ticket: &ScaleTicket) -> Result<Refusal, Refusal> {
    let voided = books.voided_among(&ticket.book, ticket.number, ticket.number).await?;
    let voided = voided.ok_or_else(|| Refusal::internal("a voided number is not voided"))?;
    let name = format!("{} {}", ticket.book, ticket.number);
    let detail = format!("{name} was voided on {}: {}", voided.made.at, voided.reason);
    Ok(Refusal::new(Code::NumberVoided, detail))
}

/// The ticket that was accepted under this book and number, if one was.
async fn before(books: &mut Books, sent: &ScaleTicket) -> Result<Option<Box<Ticket>>, Refusal> {
    let Some(accepted) = books.ticket_in_book(&sent.book, sent.number).await? else { return Ok(None) };
    if accepted.record.fingerprint == sent.fingerprint {
        return Ok(Some(Box::new(accepted)));
    }
    let name = format!("ticket {} {}", sent.book, sent.number);
    let detail = format!("{name} was accepted on {} with other content", accepted.record.accepted.at);
    Err(Refusal::new(Code::TicketDiffers, detail).at(differences(&accepted.record, sent)?))
}
