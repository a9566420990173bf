//! How a ticket looks on a narrow terminal.

use client::typing::written;
use kernel::{Exact, VolumeUnit};
use scaling::{LogSizes, Piece, PileSizes};
use wire::TicketCreate;

use super::head::Head;
use super::known::Yard;
use super::reckoning::{Outcome, Reckoned, reckon};

/// The ticket's name in the yard.
pub(crate) fn name(ticket: &TicketCreate) -> String {
    format!("ticket {} {}", ticket.book.as_str(), ticket.number)
}

/// How many sticks.
pub(crate) fn count(ticket: &TicketCreate) -> String {
    match ticket.pieces.len() {
        1 => "1 stick".to_owned(),
        more => format!("{more} sticks"),
    }
}

/// Whether bare numbers are in centimetres and metres: as the stick before, or as the contracts have it.
pub(crate) fn is_metric(ticket: &TicketCreate, yard: &Yard) -> bool {
    let measured = ticket.pieces.iter().rev().find_map(|piece| match piece {
        Piece::Log(log) => Some(matches!(log.sizes, LogSizes::Metric(_))),
        Piece::RankedPile(pile) => Some(matches!(pile.sizes, PileSizes::Metric(_))),
        Piece::HewnTimber(_) | Piece::Tie(_) | Piece::Pole(_) => None,
    });
    let by_contract = || {
        let mut logs = yard.contracts().iter().filter_map(|view| view.practice.log.as_ref()).peekable();
        logs.peek().is_some() && logs.all(|log| log.system() == scaling::MeasuringSystem::Metric)
    };
    measured.unwrap_or_else(by_contract)
}

/// A number as the service would write it.
fn figure(value: Exact) -> String {
    value.fixed().map_or_else(|_| value.to_string(), |fixed| fixed.to_string())
}

fn volume(gross: Exact, net: Exact, unit: VolumeUnit) -> String {
    format!("gross {}, net {} {}", figure(gross), figure(net), unit.words())
}

/// Of whom a line speaks, where more than one scales.
fn of(reckoned: &Reckoned, all: &[Reckoned]) -> String {
    if all.len() < 2 { String::new() } else { format!("{}: ", reckoned.titles.join(", ")) }
}

fn outcome(outcome: &Outcome) -> String {
    let scaled = match outcome {
        Err(problem) => return format!("cannot be scaled: {problem}"),
        Ok(scaled) => scaled,
    };
    let mut says = match &scaled.volume {
        Some(found) => volume(found.gross, found.net, found.unit),
        None => "no volume: it goes by the piece or by its length".to_owned(),
    };
    if let Some(cull) = &scaled.cull {
        says.push_str(&format!("; cull: {cull}"));
    }
    says
}

/// A stick with its number and what it comes to, a line each.
pub(crate) fn stick(ticket: &TicketCreate, yard: &Yard, number: usize) -> Vec<String> {
    let all = reckon(ticket, yard.contracts());
    let at = number.saturating_sub(1);
    let Some(piece) = ticket.pieces.get(at) else { return Vec::new() };
    let mut lines = vec![format!("{number}. {}", written(piece, is_metric(ticket, yard)))];
    for reckoned in &all {
        if let Some(Some(found)) = reckoned.sticks.get(at) {
            lines.push(format!("   {}{}", of(reckoned, &all), outcome(found)));
        }
    }
    lines
}

/// What all sticks come to.
pub(crate) fn totals(ticket: &TicketCreate, yard: &Yard) -> Vec<String> {
    let all = reckon(ticket, yard.contracts());
    let mut lines = Vec::new();
    for reckoned in &all {
        for total in reckoned.totals() {
            lines.push(format!("{}{}", of(reckoned, &all), volume(total.gross, total.net, total.unit)));
        }
    }
    if lines.is_empty() {
        return vec![format!("so far {}", count(ticket))];
    }
    let sticks = ticket.pieces.len();
    lines.iter().map(|line| format!("so far {sticks}: {line}")).collect()
}

/// Every stick under one another.
pub(crate) fn list(ticket: &TicketCreate, yard: &Yard) -> Vec<String> {
    (1..=ticket.pieces.len()).flat_map(|number| stick(ticket, yard, number)).collect()
}

/// The working of a stick, contract by contract.
pub(crate) fn working(ticket: &TicketCreate, yard: &Yard, number: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for reckoned in reckon(ticket, yard.contracts()) {
        let found = reckoned.sticks.get(number.saturating_sub(1));
        let Some(Some(found)) = found else { continue };
        lines.push(format!("{}:", reckoned.titles.join(", ")));
        match found {
            Err(problem) => lines.push(format!("  cannot be scaled: {problem}")),
            Ok(scaled) => lines.extend(scaled.working.iter().map(|step| format!("  {}", step.says))),
        }
    }
    if lines.is_empty() {
        lines.push("There is no contract with practices on this machine that scales it.".to_owned());
    }
    lines
}

/// The whole ticket, as it will be posted.
pub(crate) fn whole(ticket: &TicketCreate, yard: &Yard) -> Vec<String> {
    let mut lines = vec![format!("TICKET {} {}", ticket.book.as_str(), ticket.number)];
    lines.extend(
        Head::of(ticket).lines(yard).into_iter().skip(1).map(|(what, says)| format!("{what}: {says}")),
    );
    lines.extend(ticket.remarks.as_ref().map(|remarks| format!("remarks: {}", remarks.as_str())));
    lines.extend(list(ticket, yard));
    lines.extend(totals(ticket, yard));
    lines
}
