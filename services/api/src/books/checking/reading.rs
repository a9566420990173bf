//! A check scale as it is sent becomes a record, unless it contradicts itself or the books.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::TicketId;
use storage::{Books, CheckScale, CheckedLot, CheckedPiece, ScaleTicket, Ticket};
use wire::{CheckScaleCreate, CheckedPieceCreate, Code, FieldProblem, PieceFound};

use super::Standard;
use crate::books::adjusting::in_force;
use crate::books::money::today;
use crate::books::parties::parties;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// Reads a check scale; everything that is wrong with it is told at once.
///
/// # Errors
///
/// [`Code::NamesMissingRecord`] for a contract that is not there, [`Code::CheckScaleInconsistent`],
/// [`Code::CheckerIsScaler`]; whatever the books answer.
pub async fn record(
    books: &mut Books,
    sent: &CheckScaleCreate,
    service: &Service,
    member: &Member,
) -> Result<(Standard, CheckScale), Refusal> {
    if books.contract(sent.contract_id).await?.is_none() {
        let detail = format!("there is no contract {} in your outfit's books", sent.contract_id);
        return Err(Refusal::new(Code::NamesMissingRecord, detail));
    }
    let standard = Standard::read(books, sent.contract_id).await?;
    let outfit = own(books).await?;
    let ids: Vec<TicketId> = sent.pieces.iter().map(|one| one.ticket_id).collect();
    let found = books.tickets_by_id(&ids).await?;
    let tickets: BTreeMap<TicketId, Ticket> =
        found.into_iter().map(|ticket| (ticket.record.id, ticket)).collect();
    refuse_missing(sent, &tickets)?;
    let mut problems = of_the_whole(sent, &standard, today(&outfit, service));
    let checking = Checking { sent, standard: &standard, tickets: &tickets };
    problems.extend(checking.problems()?);
    if !problems.is_empty() {
        let detail = format!("{} things do not fit", problems.len());
        return Err(Refusal::new(Code::CheckScaleInconsistent, detail).at(problems));
    }
    checking.refuse_own_scale()?;
    let scalers: BTreeSet<&str> = tickets.values().map(|ticket| ticket.record.scaler.as_str()).collect();
    let scaler = match (scalers.len(), scalers.first()) {
        (1, Some(only)) => Some((*only).to_owned()),
        _ => None,
    };
    let record = CheckScale {
        id: service.ids.make(),
        contract: standard.contract.id,
        lot: CheckedLot {
            from: sent.from,
            to: sent.to,
            scaler: sent.scaler.as_ref().map(|name| name.as_str().to_owned()),
        },
        scaler,
        checked_on: sent.checked_on,
        checker: sent.checker.as_str().to_owned(),
        notice: sent.notice.name().to_owned(),
        pieces: sent.pieces.iter().map(kept).collect(),
        remarks: sent.remarks.as_ref().map(|remarks| remarks.as_str().to_owned()),
        made: member.stamp(service.clock.as_ref()),
    };
    Ok((standard, record))
}

fn refuse_missing(sent: &CheckScaleCreate, tickets: &BTreeMap<TicketId, Ticket>) -> Result<(), Refusal> {
    let missing = sent.pieces.iter().enumerate().filter(|(_, one)| !tickets.contains_key(&one.ticket_id));
    let problems: Vec<FieldProblem> = missing
        .map(|(place, one)| FieldProblem {
            pointer: format!("#/pieces/{place}/ticket_id"),
            detail: format!("there is no ticket {} in your outfit's books", one.ticket_id),
        })
        .collect();
    if problems.is_empty() {
        return Ok(());
    }
    Err(Refusal::new(Code::NamesMissingRecord, "tickets of the sample are not there").at(problems))
}

fn kept(sent: &CheckedPieceCreate) -> CheckedPiece {
    let (piece, facts) = match &sent.found {
        PieceFound::ScaledAgain { piece, facts } => (Some(*piece), Some(facts.clone())),
        PieceFound::Missing { piece } => (Some(*piece), None),
        PieceFound::OneTooMany { facts } => (None, Some(facts.clone())),
    };
    CheckedPiece { ticket: sent.ticket_id, piece, facts }
}

fn of_the_whole(sent: &CheckScaleCreate, standard: &Standard, today: Date) -> Vec<FieldProblem> {
    let mut problems = Vec::new();
    let mut add = |at: &str, detail: String| {
        problems.push(FieldProblem { pointer: format!("#/{at}"), detail });
    };
    if sent.to < sent.from {
        add("to", format!("{} is before {}: exchange them", sent.to, sent.from));
    }
    if sent.checked_on > today {
        add("checked_on", format!("{} is yet to come; it is {today}", sent.checked_on));
    }
    if sent.pieces.is_empty() {
        add("pieces", "a check scale has at least one piece".to_owned());
    }
    if in_force(&standard.terms, sent.to).is_none() {
        add("to", format!("the contract has no terms in force on {}", sent.to));
    }
    problems
}

/// What is sent, beside the tickets it names.
struct Checking<'a> {
    sent: &'a CheckScaleCreate,
    standard: &'a Standard,
    tickets: &'a BTreeMap<TicketId, Ticket>,
}

impl Checking<'_> {
    fn problems(&self) -> Result<Vec<FieldProblem>, Refusal> {
        let mut problems = Vec::new();
        let mut seen = BTreeSet::new();
        for (place, one) in self.sent.pieces.iter().enumerate() {
            let mut add = |at: &str, detail: String| {
                problems.push(FieldProblem { pointer: format!("#/pieces/{place}{at}"), detail });
            };
            let Some(ticket) = self.tickets.get(&one.ticket_id) else { continue };
            if let Some(says) = self.of_ticket(ticket) {
                add("/ticket_id", says);
            }
            let (number, facts) = match &one.found {
                PieceFound::OneTooMany { .. } => continue,
                PieceFound::ScaledAgain { piece, facts } => (*piece, Some(facts)),
                PieceFound::Missing { piece } => (*piece, None),
            };
            if !seen.insert((one.ticket_id, number)) {
                add("/found", format!("piece {number} of this ticket is in the sample twice"));
            }
            let stands = usize::from(number).checked_sub(1).and_then(|place| ticket.record.pieces.get(place));
            let Some(stands) = stands else {
                let count = ticket.record.pieces.len();
                add("/found", format!("the ticket has no piece {number}: it has {count}"));
                continue;
            };
            if let Some(facts) = facts.filter(|facts| facts.product() != stands.product()) {
                let (was, is) = (stands.product().name(), facts.product().name());
                add(
                    "/found",
                    format!(
                        "piece {number} is a {was}, not a {is}: say that one is missing and one too many"
                    ),
                );
            }
            if !self.pays_for(&ticket.record, number)? {
                add("/found", format!("the contract's party did no work on piece {number}"));
            }
        }
        Ok(problems)
    }

    /// Why a ticket is not of the lot.
    fn of_ticket(&self, ticket: &Ticket) -> Option<String> {
        let (record, sent) = (&ticket.record, self.sent);
        if let Some(by) = ticket.corrected_by {
            return Some(format!("ticket {by} has taken its place: name that one"));
        }
        if record.job != self.standard.contract.job {
            return Some("the ticket is of another job than the contract".to_owned());
        }
        if record.scaled_on < sent.from || record.scaled_on > sent.to {
            return Some(format!("it was scaled on {}, outside of the lot", record.scaled_on));
        }
        if record.scaled_on > sent.checked_on {
            return Some(format!("it was scaled on {}, after the check", record.scaled_on));
        }
        let other = sent.scaler.as_ref().filter(|scaler| scaler.as_str() != record.scaler);
        other.map(|_| format!("it was scaled by {}, of whom the lot is not", record.scaler))
    }

    fn pays_for(&self, ticket: &ScaleTicket, number: u16) -> Result<bool, Refusal> {
        let party = self.standard.contract.party;
        let work = parties(ticket)?.into_iter().find(|one| one.party == party);
        Ok(work.is_some_and(|work| work.concerns(number)))
    }

    /// Nobody checks his own scale; names are compared without regard to capitals.
    fn refuse_own_scale(&self) -> Result<(), Refusal> {
        let checker = self.sent.checker.as_str().to_lowercase();
        let mut problems = Vec::new();
        for (place, one) in self.sent.pieces.iter().enumerate() {
            let own = self.tickets.get(&one.ticket_id).map(|ticket| &ticket.record);
            if let Some(record) = own.filter(|record| record.scaler.to_lowercase() == checker) {
                let pointer = format!("#/pieces/{place}/ticket_id");
                let detail =
                    format!("{} scaled ticket {} {} himself", record.scaler, record.book, record.number);
                problems.push(FieldProblem { pointer, detail });
            }
        }
        if problems.is_empty() {
            return Ok(());
        }
        let detail = format!("{} cannot check this", self.sent.checker.as_str());
        Err(Refusal::new(Code::CheckerIsScaler, detail).at(problems))
    }
}
