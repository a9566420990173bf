//! From the ticket as it was sent to the ticket as it is recorded, and back.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{SettlementId, TicketId};
use scaling::Piece;
use storage::{Arrival, Correction, ScaleTicket, Stamp, Turn};
use wire::{Code, FieldProblem, TicketCreate, TurnFacts, WorkEntry};

use super::fingerprint::fingerprint;
use super::reading_sticks::sticks;
use super::reading_work::work;
use crate::http::refusal::Refusal;

/// The most pieces on one ticket.
pub const MOST_PIECES: usize = 2_000;

/// What a new ticket is recorded with, besides what was sent.
#[derive(Debug)]
pub struct Acceptance {
    /// The id it gets.
    pub id: TicketId,
    /// Who posts it, and when.
    pub stamp: Stamp,
    /// The day it is where the outfit is.
    pub today: Date,
    /// What it corrects.
    pub corrects: Option<Correction>,
    /// The settlement that has closed its week already.
    pub late_for: Option<SettlementId>,
}

/// How a ticket came. The device's clock is written down and trusted with nothing; it is kept in whole microseconds, as the
/// books keep every instant, and how far it is ahead in whole seconds, cut toward zero.
fn arrival(sent: &TicketCreate, acceptance: &Acceptance) -> Arrival {
    let kept = |at: Timestamp| Timestamp::from_microsecond(at.as_microsecond()).unwrap_or(at);
    Arrival {
        measured: sent.measured_at.map(kept),
        sent: sent.sent_at.map(kept),
        clock_ahead_seconds: sent.sent_at.map(|at| at.duration_since(acceptance.stamp.at).as_secs()),
        late_for: acceptance.late_for,
    }
}

/// Turns a ticket as it was sent into the record of it.
///
/// # Errors
///
/// [`Code::TicketInconsistent`] with every contradiction found.
pub fn record(sent: &TicketCreate, acceptance: Acceptance, pointer: &str) -> Result<ScaleTicket, Refusal> {
    let mut problems = Contradictions { prefix: pointer, found: Vec::new() };
    if sent.number == 0 {
        problems.add("/number", "a scale book's numbers begin at 1");
    }
    if sent.scaled_on > acceptance.today {
        problems
            .add("/scaled_on", format!("{} is still to come; today is {}", sent.scaled_on, acceptance.today));
    }
    if sent.pieces.len() > MOST_PIECES {
        problems.add("/pieces", format!("a ticket holds {MOST_PIECES} pieces at the most: split it"));
    }
    if sent.pieces.is_empty() && acceptance.corrects.is_none() {
        problems.add("/pieces", "a ticket without pieces scales nothing; only a correction may have none");
    }
    sticks(sent, &mut problems);
    let work = work(sent, &mut problems);
    let turn = sent.turn.as_ref().map(|turn| read_turn(turn, &mut problems));
    if !problems.found.is_empty() {
        return Err(Refusal::new(Code::TicketInconsistent, "parts of the ticket do not fit together")
            .at(problems.found));
    }
    let mut ticket = ScaleTicket {
        id: acceptance.id,
        book: sent.book.as_str().to_owned(),
        number: sent.number.into(),
        job: sent.job_id,
        landing: sent.landing_id,
        scaled_on: sent.scaled_on,
        scaler: sent.scaler.as_str().to_owned(),
        work,
        turn,
        delivered_to: sent.delivered_to,
        pieces: Vec::new(),
        remarks: sent.remarks.as_ref().map(|remarks| remarks.as_str().to_owned()),
        arrival: arrival(sent, &acceptance),
        corrects: acceptance.corrects,
        fingerprint: [0; 32],
        accepted: acceptance.stamp,
    };
    // Copied once: from the content that the fingerprint is of they go into the record.
    let content = content_with(&ticket, sent.pieces.clone())?;
    ticket.fingerprint = fingerprint(&(&content, correction_of(&ticket)))?;
    ticket.pieces = content.pieces;
    Ok(ticket)
}

/// The fingerprint of a ticket's content, computed from what is recorded of it.
///
/// # Errors
///
/// [`Code::Internal`] for a record that could not have been sent.
pub fn fingerprint_of(ticket: &ScaleTicket) -> Result<[u8; 32], Refusal> {
    fingerprint(&(content(ticket)?, correction_of(ticket)))
}

fn correction_of(ticket: &ScaleTicket) -> Option<(TicketId, &str)> {
    ticket.corrects.as_ref().map(|correction| (correction.of, correction.reason.as_str()))
}

/// What was found wrong with a ticket so far.
pub(super) struct Contradictions<'a> {
    prefix: &'a str,
    found: Vec<FieldProblem>,
}

impl Contradictions<'_> {
    pub(super) fn add(&mut self, at: &str, says: impl Into<String>) {
        self.found.push(FieldProblem { pointer: format!("#{}{at}", self.prefix), detail: says.into() });
    }
}

fn read_turn(sent: &TurnFacts, problems: &mut Contradictions<'_>) -> Turn {
    let distances = [
        ("/turn/skid_distance_ft", sent.skid_distance_ft),
        ("/turn/haul_distance_mi", sent.haul_distance_mi),
    ];
    for (at, distance) in distances {
        if distance.is_some_and(kernel::Fixed::is_negative) {
            problems.add(at, "a distance is never below zero");
        }
    }
    Turn {
        moved_by: sent.moved_by.as_ref().map(|means| means.as_str().to_owned()),
        skid_distance_ft: sent.skid_distance_ft,
        haul_distance_mi: sent.haul_distance_mi,
    }
}

/// The recorded ticket as it would be sent, with every piece of work spelled out. When it was sent is left out: that is
/// another instant each time, and the ticket the same.
///
/// # Errors
///
/// [`Code::Internal`] for a record that could not have been sent.
pub fn content(ticket: &ScaleTicket) -> Result<TicketCreate, Refusal> {
    content_with(ticket, ticket.pieces.clone())
}

/// The same with these pieces in place of its own.
fn content_with(ticket: &ScaleTicket, pieces: Vec<Piece>) -> Result<TicketCreate, Refusal> {
    let name = |text: &str| wire::Name::try_from(text.to_owned()).map_err(Refusal::internal);
    Ok(TicketCreate {
        book: name(&ticket.book)?,
        number: u32::try_from(ticket.number).map_err(Refusal::internal)?,
        job_id: ticket.job,
        landing_id: ticket.landing,
        scaled_on: ticket.scaled_on,
        scaler: name(&ticket.scaler)?,
        work: ticket
            .work
            .iter()
            .map(|work| WorkEntry {
                task: work.task,
                crew_id: work.crew,
                pieces: Some(work.pieces.clone()),
                parts: work.parts,
            })
            .collect(),
        turn: match &ticket.turn {
            None => None,
            Some(turn) => Some(TurnFacts {
                moved_by: turn.moved_by.as_deref().map(name).transpose()?,
                skid_distance_ft: turn.skid_distance_ft,
                haul_distance_mi: turn.haul_distance_mi,
            }),
        },
        delivered_to: ticket.delivered_to,
        pieces,
        remarks: ticket
            .remarks
            .as_ref()
            .map(|remarks| wire::Remark::try_from(remarks.clone()).map_err(Refusal::internal))
            .transpose()?,
        measured_at: ticket.arrival.measured,
        sent_at: None,
    })
}

/// Which members of two tickets differ.
///
/// # Errors
///
/// [`Code::Internal`] when one of them has no JSON form.
pub fn differences(accepted: &ScaleTicket, sent: &ScaleTicket) -> Result<Vec<FieldProblem>, Refusal> {
    let json = |ticket: &ScaleTicket| -> Result<serde_json::Value, Refusal> {
        serde_json::to_value(content(ticket)?).map_err(Refusal::internal)
    };
    let mut found = Vec::new();
    compare(&json(accepted)?, &json(sent)?, "#", &mut found);
    if accepted.corrects != sent.corrects {
        let detail = "what it corrects, or the reason, is not the same as in the accepted ticket".to_owned();
        found.push(FieldProblem { pointer: "#".to_owned(), detail });
    }
    Ok(found)
}

fn compare(
    accepted: &serde_json::Value,
    sent: &serde_json::Value,
    pointer: &str,
    found: &mut Vec<FieldProblem>,
) {
    use serde_json::Value;
    const NOTHING: Value = Value::Null;
    match (accepted, sent) {
        (Value::Object(left), Value::Object(right)) => {
            let members: BTreeSet<&String> = left.keys().chain(right.keys()).collect();
            for member in members {
                let (left, right) = (left.get(member), right.get(member));
                let pointer = format!("{pointer}/{member}");
                compare(left.unwrap_or(&NOTHING), right.unwrap_or(&NOTHING), &pointer, found);
            }
        }
        (Value::Array(left), Value::Array(right)) if left.len() == right.len() => {
            for (place, (left, right)) in left.iter().zip(right).enumerate() {
                compare(left, right, &format!("{pointer}/{place}"), found);
            }
        }
        (Value::Array(left), Value::Array(right)) => found.push(FieldProblem {
            pointer: pointer.to_owned(),
            detail: format!("the accepted ticket has {} here, this one has {}", left.len(), right.len()),
        }),
        (left, right) if left != right => found.push(FieldProblem {
            pointer: pointer.to_owned(),
            detail: format!("the accepted ticket says {left}, this one says {right}"),
        }),
        _ => {}
    }
}
