//! Follows a posted line down to the sticks.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{ContractId, DerivationId, Exact, SettlementId, TicketId};
use scaling::Piece;
use settlement::{Payee, RateUnit, Side};
use storage::{
    Books, ContractParty, Derivation, PieceVolume, PostedLine, ScaleTicket, ShareSet, Terms, Ticket,
};
use wire::{
    Code, ExplainedPiece, ExplainedTicket, LineExplanation, LineView, SplitStep, TicketReference,
    TimeEntryView,
};

use super::show::lines;
use crate::books::checking::explaining::adjustments;
use crate::books::deriving::account;
use crate::books::entitling::terms_by_id;
use crate::books::names::Names;
use crate::books::parties::{PartyWork, parties};
use crate::books::paying_time::entry_of;
use crate::books::scaling_ticket::{self, Outcome};
use crate::http::caller::Member;
use crate::http::explaining::FormatQuery;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::time::list::view as time_view;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "explain_line",
    method: Method::GET,
    path: "/v1/settlements/{settlement_id}/lines/{line_number}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Follow a posted line down to the sticks
///
/// The line, the arithmetic of its amount, how the crew divided it, and every ticket with its sticks and their
/// working.
#[utoipa::path(
    tag = "settlements",
    operation_id = "explain_line",
    params(
        ("settlement_id" = SettlementId, Path, description = "The settlement."),
        ("line_number" = i32, Path, description = "The line's place in it, from 1."),
        FormatQuery
    ),
    responses((status = 200, description = "The explanation.",
               content((LineExplanation = "application/json"), (String = "text/plain"))))
)]
#[get("/v1/settlements/{settlement_id}/lines/{line_number}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    place: InPath<(SettlementId, i32)>,
    query: InQuery<FormatQuery>,
) -> Result<HttpResponse, Refusal> {
    let (settlement, number) = place.0;
    let explained = service.read(&member, async |books| explain(books, settlement, number).await).await?;
    Ok(query.0.answer(&explained, client::text::explanation))
}

/// A posted line followed down to the sticks.
///
/// # Errors
///
/// [`Code::NotFound`]; whatever the books answer.
pub async fn explain(
    books: &mut Books,
    settlement: SettlementId,
    number: i32,
) -> Result<LineExplanation, Refusal> {
    let missing = || Refusal::not_found("posted line", format!("{number} of settlement {settlement}"));
    let draft = books.settlement(settlement).await?.ok_or_else(missing)?;
    let posted = books.posted_lines(Some(settlement), None).await?;
    let posted = posted.into_iter().find(|line| line.number == number).ok_or_else(missing)?;
    let line = lines(&draft)?.into_iter().find(|line| line.number == number).ok_or_else(missing)?;
    let currency = line.amount.currency();
    let amount = settlement::explain_amount(line.now_quantity, line.price, line.unit, currency)
        .map_err(Refusal::from)?;
    Ok(LineExplanation {
        exact_amount: amount.exact,
        says: arithmetic(&line, &amount),
        split: split(books, &line).await?,
        tickets: tickets(books, &posted).await?,
        time: time(books, &posted).await?,
        adjustments: adjustments(books, &posted).await?,
        line,
    })
}

fn arithmetic(line: &LineView, working: &settlement::AmountWorking) -> String {
    let divided = match working.counted_per_unit {
        1 => String::new(),
        size => format!(" ÷ {size}"),
    };
    let counted = counted(line.unit);
    let mut says = format!(
        "{} {counted} × {}{divided} = {}; rounded once, halves away from zero: {}",
        line.now_quantity, line.price, working.exact, line.now_amount
    );
    if !line.formerly_amount.is_zero() || !line.formerly_quantity.is_zero() {
        says.push_str(&format!(
            "; {} for {} {counted} had been posted before, so this line is the difference: {}",
            line.formerly_amount, line.formerly_quantity, line.amount
        ));
    }
    says
}

/// What a rate counts.
#[must_use]
pub const fn counted(unit: RateUnit) -> &'static str {
    match unit {
        RateUnit::ThousandBoardFeet => "board feet",
        RateUnit::ThousandBoardFeetMile => "board foot-miles",
        RateUnit::Piece => "pieces",
        RateUnit::LinearFoot => "linear feet",
        RateUnit::LinearMetre => "linear metres",
        RateUnit::CubicFoot | RateUnit::HundredCubicFeet => "cubic feet",
        RateUnit::CubicMetre => "cubic metres",
        RateUnit::Cord => "cords",
        RateUnit::StackedCubicMetre => "stacked cubic metres",
        RateUnit::Turn => "turns",
        RateUnit::Hour => "hours",
        RateUnit::Day => "days",
    }
}

async fn split(books: &mut Books, line: &LineView) -> Result<Vec<SplitStep>, Refusal> {
    let (Some(crew), Some(share_set)) = (line.crew_id, line.share_set_id) else { return Ok(Vec::new()) };
    let names = Names::read(books).await?;
    let sets: Vec<ShareSet> = books.share_sets(Some(crew)).await?;
    let set = sets
        .into_iter()
        .find(|set| set.id == share_set)
        .ok_or_else(|| Refusal::not_found("share set", share_set))?;
    // By hours, the parts are those of the day the line was drafted: hours may have been corrected since.
    let by_hours =
        |worker| line.parts_by_hours.iter().find(|one| one.worker_id == worker).map(|one| one.parts);
    let parts: Vec<Exact> =
        set.shares.iter().map(|share| by_hours(share.worker).unwrap_or(share.parts.exact())).collect();
    let working = settlement::explain_split(line.now_amount, &parts).map_err(Refusal::internal)?;
    Ok(set
        .shares
        .iter()
        .zip(working.shares)
        .map(|(share, step)| SplitStep {
            payee: names.payee(Payee::Worker(share.worker)),
            parts: step.part,
            quota: step.quota,
            by_remainder: step.from_remainder,
            amount: step.amount,
        })
        .collect())
}

/// The hours of a line that pays a member for time; those it takes back are among them, each corrected since.
async fn time(books: &mut Books, line: &PostedLine) -> Result<Vec<TimeEntryView>, Refusal> {
    if !matches!(line.key.side, Side::Member { .. }) {
        return Ok(Vec::new());
    }
    let concerned: Vec<_> = line.withdrawn.iter().chain(&line.entered).copied().map(entry_of).collect();
    Ok(books.time_entries_by_id(&concerned).await?.iter().map(time_view).collect())
}

async fn tickets(books: &mut Books, line: &PostedLine) -> Result<Vec<ExplainedTicket>, Refusal> {
    if matches!(line.key.side, Side::Member { .. }) {
        return Ok(Vec::new());
    }
    let concerned: Vec<DerivationId> = line.withdrawn.iter().chain(&line.entered).copied().collect();
    let derivations = books.derivations_by_id(&concerned).await?;
    let terms = terms_by_id(books, derivations.iter().map(|derivation| derivation.terms)).await?;
    let with = parties_of(books, &derivations).await?;
    let ids: Vec<_> = derivations.iter().map(|derivation| derivation.ticket).collect();
    let tickets: HashMap<TicketId, Ticket> =
        books.tickets_by_id(&ids).await?.into_iter().map(|ticket| (ticket.record.id, ticket)).collect();
    let rate_number = line.key.rate.saturating_add(1);
    let mut explained = Vec::new();
    for derivation in &derivations {
        let missing = || Refusal::internal("a derivation names a ticket or terms that are not there");
        let ticket = tickets.get(&derivation.ticket).ok_or_else(missing)?;
        let terms = terms.get(&derivation.terms).ok_or_else(missing)?;
        let party = with.get(&derivation.contract).ok_or_else(missing)?;
        let work =
            parties(&ticket.record)?.into_iter().find(|one| one.party == *party).ok_or_else(missing)?;
        let scaled = scaling_ticket::with_working(&ticket.record, &work, &terms.practice);
        let mut one = one_ticket(ticket, derivation, &scaled, rate_number);
        if let Some(one) = &mut one {
            one.withdrawn = line.withdrawn.contains(&derivation.id);
            one.says = counting(&ticket.record, &work, terms, line.key.rate)?;
        }
        explained.extend(one);
    }
    explained.sort_by(|left, right| {
        let order = |one: &ExplainedTicket| (one.scaled_on, one.ticket.book.clone(), one.ticket.number);
        order(left).cmp(&order(right))
    });
    Ok(explained)
}

/// With whom each contract of the derivations is.
async fn parties_of(
    books: &mut Books,
    derivations: &[Derivation],
) -> Result<HashMap<ContractId, ContractParty>, Refusal> {
    let mut parties = HashMap::new();
    for derivation in derivations {
        if let Entry::Vacant(place) = parties.entry(derivation.contract) {
            let contract = books.contract(derivation.contract).await?;
            let missing = || Refusal::internal("a derivation names a contract that is not there");
            place.insert(contract.ok_or_else(missing)?.party);
        }
    }
    Ok(parties)
}

/// What was done to a ticket's count under a rate besides adding up.
fn counting(
    ticket: &ScaleTicket,
    work: &PartyWork,
    terms: &Terms,
    rate: u16,
) -> Result<Vec<String>, Refusal> {
    let accrued = account(ticket, work, &terms.practice, &terms.rates)?.accrued;
    let of_rate = accrued.accruals.into_iter().filter(|accrual| accrual.rate == usize::from(rate));
    Ok(of_rate.flat_map(|accrual| accrual.steps).map(|step| step.to_string()).collect())
}

fn one_ticket(
    ticket: &Ticket,
    derivation: &Derivation,
    scaled: &[Option<Outcome>],
    rate_number: u16,
) -> Option<ExplainedTicket> {
    let accrual = derivation.accruals.iter().find(|accrual| accrual.rate_number == rate_number)?;
    let record = &ticket.record;
    let pieces = accrual.pieces.iter().filter_map(|number| {
        let place = usize::from(number.checked_sub(1)?);
        let facts = record.pieces.get(place)?;
        let outcome = scaled.get(place).and_then(Option::as_ref);
        Some(one_piece(*number, facts, derivation.volumes.get(place)?, outcome))
    });
    Some(ExplainedTicket {
        ticket: TicketReference { ticket_id: record.id, book: record.book.clone(), number: record.number },
        scaled_on: record.scaled_on,
        withdrawn: false,
        quantity: accrual.quantity,
        says: Vec::new(),
        pieces: pieces.collect(),
    })
}

fn one_piece(number: u16, facts: &Piece, stored: &PieceVolume, outcome: Option<&Outcome>) -> ExplainedPiece {
    let working = outcome.and_then(|outcome| outcome.as_ref().ok()).map(|scaled| scaled.working.as_slice());
    let volume = stored.volume;
    ExplainedPiece {
        piece: number,
        facts: facts.clone(),
        unit: volume.map(|(unit, ..)| unit),
        gross: volume.map(|(_, gross, _)| gross),
        net: volume.map(|(.., net)| net),
        cull: stored.cull.clone(),
        working: working.unwrap_or_default().iter().map(|step| step.says.to_string()).collect(),
    }
}
