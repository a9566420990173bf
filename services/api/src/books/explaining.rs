//! Following a ticket up to the pay: for each piece and each task, what was made of it, and whether and where it was paid.

mod corrections;
mod history;
mod saying;
mod scale;
mod tasks;

use std::collections::{HashMap, HashSet};

use jiff::ToSpan;
use jiff::civil::Date;
use kernel::{DerivationId, MillId, SettlementId};
use settlement::week_ending;
use storage::{
    Books, ContractParty, Derivation, Outfit, PostedLine, PostedWeek, SetAside, Ticket, UnpricedPiece,
};
use wire::{PieceExplanation, TicketExplanation, TicketReference, TicketState};

use super::caution::CAUTION;
use super::entitling::{TermsById, terms_by_id};
use super::names::Names;
use super::parties::{PartyWork, parties};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;

/// What is known of a ticket, and of what the postings did with it.
struct Known {
    outfit: Outfit,
    names: Names,
    /// The last day of the ticket's week.
    week: Date,
    /// The earliest week that is not posted and can settle it, or take it back.
    open_week: Date,
    weeks: HashMap<SettlementId, PostedWeek>,
    /// Every line posted for work of the ticket's week under the terms that made something of it.
    lines: Vec<PostedLine>,
    terms: TermsById,
    derivations: Vec<Derivation>,
    standing: HashSet<DerivationId>,
    unpriced: Vec<UnpricedPiece>,
    set_aside: Vec<SetAside>,
    /// For a mill, whose own part alone it is.
    mill: Option<MillId>,
    state: TicketState,
}

impl Known {
    async fn read(books: &mut Books, ticket: &Ticket, mill: Option<MillId>) -> Result<Self, Refusal> {
        let id = ticket.record.id;
        let outfit = own(books).await?;
        let derivations = books.all_derivations_of(id).await?;
        let terms = terms_by_id(books, derivations.iter().map(|one| one.terms)).await?;
        let week = week_ending(ticket.record.scaled_on, outfit.week_ends_on);
        let under: Vec<_> = terms.keys().copied().collect();
        let weeks = books.posted_weeks(None).await?;
        let next = weeks.last().map(|latest| latest.week_ends_on.saturating_add(7.days()));
        Ok(Self {
            lines: books.lines_of_week(week, &under).await?,
            names: Names::read(books).await?,
            open_week: next.map_or(week, |next| next.max(week)),
            weeks: weeks.into_iter().map(|week| (week.settlement, week)).collect(),
            standing: books.standing_derivations_of(id).await?.into_iter().collect(),
            unpriced: if mill.is_none() { books.unpriced_of(id).await? } else { Vec::new() },
            set_aside: if mill.is_none() { books.set_asides(id).await? } else { Vec::new() },
            state: match ticket.corrected_by {
                Some(_) => TicketState::Corrected,
                None if ticket.is_void() => TicketState::Void,
                None => TicketState::Standing,
            },
            outfit,
            week,
            terms,
            derivations,
            mill,
        })
    }

    /// Whether the caller may see a party's part.
    fn sees(&self, party: ContractParty) -> bool {
        self.mill.is_none_or(|mill| party == ContractParty::Mill(mill))
    }
}

/// A ticket followed up to the pay, or one piece of it; for a mill, its own part.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn explain_ticket(
    books: &mut Books,
    ticket: &Ticket,
    mill: Option<MillId>,
    piece: Option<u16>,
) -> Result<TicketExplanation, Refusal> {
    let known = Known::read(books, ticket, mill).await?;
    let record = &ticket.record;
    let corrections = corrections::after(books, ticket, mill).await?;
    let work: Vec<PartyWork> = parties(record)?.into_iter().filter(|party| known.sees(party.party)).collect();
    let made = scale::all(&known, record, &work)?;
    let numbered = (1_u16..).zip(&record.pieces);
    let asked = numbered.filter(|(number, _)| piece.is_none_or(|piece| piece == *number));
    let pieces = asked
        .map(|(number, facts)| {
            let tasks = tasks::of_piece(&known, &work, &made, number, corrections.last())?;
            Ok(PieceExplanation { piece: number, facts: facts.clone(), tasks })
        })
        .collect::<Result<_, Refusal>>()?;
    Ok(TicketExplanation {
        ticket: TicketReference { ticket_id: record.id, book: record.book.clone(), number: record.number },
        state: known.state,
        scaled_on: record.scaled_on,
        week_ends_on: known.week,
        scaler: record.scaler.clone(),
        accepted_by: record.accepted.by.clone(),
        accepted_at: record.accepted.at,
        late: record.arrival.late_for.is_some(),
        corrects: corrections::before(books, ticket, mill).await?,
        correction_reason: record.corrects.as_ref().map(|correction| correction.reason.clone()),
        corrections,
        pieces,
        caution: CAUTION.to_owned(),
    })
}
