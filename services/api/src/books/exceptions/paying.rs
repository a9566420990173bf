//! Sticks paid twice, never, not yet, or not by the piece.

use kernel::Exact;
use storage::{Found, NeverPaid, NeverPaidBecause, PaidTwice, PaidTwiceBy, SetAsideWork, UnpricedWork};
use wire::{ExceptionKind, ExceptionView};

use super::Words;
use super::listed::{begin, named, party, shown};

/// A stick that is paid for more than once.
pub(super) fn twice(found: &Found<PaidTwice>) -> ExceptionView {
    let PaidTwice { by, task, stick, times } = &found.figures;
    let tickets = named(&found.tickets);
    let says = match by {
        PaidTwiceBy::SeveralTickets => {
            let stick = stick.as_deref().unwrap_or_default();
            format!("stick {stick} has a price for {task} on {times} tickets: {tickets}")
        }
        PaidTwiceBy::SeveralCrews => {
            format!("{tickets}: {task} has a price {times} times, and not in parts")
        }
        PaidTwiceBy::SeveralLines => {
            format!("{tickets}: settlements took in what was counted for {task} {times} times")
        }
    };
    ExceptionView {
        task: Some(*task),
        stick_number: stick.clone(),
        figure: Some("times".to_owned()),
        expected: Some(Exact::ONE),
        found: Some(Exact::of((*times).into())),
        ..begin(ExceptionKind::PiecePaidTwice, found, says)
    }
}

/// Work that was never paid.
pub(super) fn never(words: &Words<'_>, found: &Found<NeverPaid>) -> ExceptionView {
    let NeverPaid { because, task, crew_id, mill_id, stick, settlement_id } = &found.figures;
    let by = party(*crew_id, *mill_id);
    let whose = by.map(|one| format!(" ({})", words.names.party(one))).unwrap_or_default();
    let tickets = named(&found.tickets);
    let says = match because {
        NeverPaidBecause::NotCounted => {
            format!("{tickets}: {task}{whose} is counted by no rate, and is not listed as unpriced")
        }
        NeverPaidBecause::NotPosted => format!(
            "{tickets}: {task}{whose} was counted, and a settlement that covers its day was posted without it"
        ),
        NeverPaidBecause::NeverFelled => {
            let stick = stick.as_deref().unwrap_or_default();
            format!("stick {stick} is on {tickets}, and nobody felled a stick of that number")
        }
    };
    let mut view = ExceptionView {
        task: Some(*task),
        party: shown(by),
        stick_number: stick.clone(),
        settlement_id: *settlement_id,
        figure: Some("times".to_owned()),
        expected: Some(Exact::ONE),
        found: Some(Exact::ZERO),
        ..begin(ExceptionKind::PieceNeverPaid, found, says)
    };
    view.links.extend(settlement_id.map(|id| format!("/v1/settlements/{id}")));
    view
}

/// Work that no rate covers.
pub(super) fn unpriced(words: &Words<'_>, found: &Found<UnpricedWork>) -> ExceptionView {
    let UnpricedWork { task, crew_id, mill_id, reason } = &found.figures;
    let by = party(*crew_id, *mill_id);
    let whose = by.map(|one| format!(" ({})", words.names.party(one))).unwrap_or_default();
    let says = format!("{}: {task}{whose} has no price: {reason}", named(&found.tickets));
    let mut view = ExceptionView {
        task: Some(*task),
        party: shown(by),
        reason: Some(reason.to_string()),
        ..begin(ExceptionKind::UnpricedPiece, found, says)
    };
    let day = found.day;
    view.links.push(format!("/v1/unpriced?from={day}&to={day}"));
    view
}

/// Work that somebody set aside.
pub(super) fn set_aside(found: &Found<SetAsideWork>) -> ExceptionView {
    let SetAsideWork { task, reason, made_by, made_at } = &found.figures;
    let says = format!("{}: {task} was set aside by {made_by}: {reason}", named(&found.tickets));
    ExceptionView {
        task: Some(*task),
        reason: Some(reason.clone()),
        made_by: Some(made_by.clone()),
        made_at: Some(*made_at),
        ..begin(ExceptionKind::SetAsidePiece, found, says)
    }
}
