//! Wood on its way: more skidded than felled, logs that were hewn, turns that were counted.

use kernel::Exact;
use storage::{Found, LogAlsoPaid, MoreSkidded, TurnsCounted};
use wire::{ExceptionKind, ExceptionView};

use super::Words;
use super::listed::{begin, named, party, shown, tasks};

/// More skidded than felled or hewn.
pub(super) fn more_skidded(found: &Found<MoreSkidded>) -> ExceptionView {
    let MoreSkidded { product, species, skidded, felled } = &found.figures;
    let what = product.name().replace('_', " ");
    let says = format!(
        "{species}, {what}: {skidded} were skidded up to the last day, and {felled} felled or hewn; see {}",
        named(&found.tickets)
    );
    ExceptionView {
        product: Some(*product),
        species: Some(species.clone()),
        figure: Some("sticks".to_owned()),
        expected: Some(Exact::of((*felled).into())),
        found: Some(Exact::of((*skidded).into())),
        ..begin(ExceptionKind::SkiddedMoreThanFelled, found, says)
    }
}

/// A hewn piece whose log is paid for as well.
pub(super) fn also_paid(found: &Found<LogAlsoPaid>) -> ExceptionView {
    let LogAlsoPaid { log, tasks: paid } = &found.figures;
    let says = format!(
        "a piece hewn from stick {log} is paid for, and stick {log} is paid as a log for {}: {}",
        tasks(paid),
        named(&found.tickets)
    );
    ExceptionView {
        task: paid.first().copied(),
        stick_number: Some(log.clone()),
        ..begin(ExceptionKind::LogAlsoPaidAsLog, found, says)
    }
}

/// A day on which turns and tickets are not as many.
pub(super) fn turns(words: &Words<'_>, found: &Found<TurnsCounted>) -> ExceptionView {
    let TurnsCounted { crew_id, mill_id, counted, tickets, counted_by, made_by, made_at } = &found.figures;
    let by = party(*crew_id, *mill_id);
    let whose = by.map(|one| words.names.party(one)).unwrap_or_default();
    let says = format!(
        "{}, {whose}: {counted_by} counted {counted} turns; tickets that tell of one: {tickets}",
        found.day
    );
    let kind = if tickets < counted {
        ExceptionKind::TurnWithoutTicket
    } else {
        ExceptionKind::TicketWithoutCountedTurn
    };
    let mut view = ExceptionView {
        party: shown(by),
        figure: Some("turns".to_owned()),
        expected: Some(Exact::of((*counted).into())),
        found: Some(Exact::of((*tickets).into())),
        made_by: Some(made_by.clone()),
        made_at: Some(*made_at),
        ..begin(kind, found, says)
    };
    let day = found.day;
    view.links.push(format!("/v1/turn-counts?from={day}&to={day}"));
    view
}
