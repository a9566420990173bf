//! Whether and where a piece was paid, in words.

use kernel::Exact;
use settlement::RateUnit;
use wire::{
    CorrectionStep, PayState, PaymentEvent, PaymentStep, RateExplanation, TaskExplanation, TicketState,
};

use super::Known;
use crate::routes::settlements::explain::counted;

/// What a rate makes of a piece: its part of the quantity, the exact money, every posted line, and where it stands.
pub fn of_rate(known: &Known, rate: &RateExplanation, by_itself: Exact) -> Vec<String> {
    let unit = counted(rate.unit);
    let mut says = Vec::new();
    if rate.unit == RateUnit::Turn {
        says.push(format!(
            "a turn is paid whole: an equal part of it is told of each of its {} pieces",
            rate.ticket_pieces
        ));
    } else if rate.quantity != by_itself {
        says.push(format!(
            "{by_itself} {unit} of it by itself; {} in all with an equal part, among {} pieces, of what belongs to no \
             single one",
            rate.quantity, rate.ticket_pieces
        ));
    }
    says.push(money(known, rate, unit));
    says.extend(rate.history.iter().map(|step| posted(step, unit)));
    says.extend(stands(rate));
    says
}

fn money(known: &Known, rate: &RateExplanation, unit: &str) -> String {
    if rate.quantity.is_zero() {
        return "it counts for nothing under this rate".to_owned();
    }
    let divided = match rate.unit.counted_per_unit() {
        1 => String::new(),
        size => format!(" ÷ {size}"),
    };
    format!(
        "{} {unit} × {}{divided} = {} {}, exactly: money is rounded once for the whole line, so a piece has no rounded \
         money of its own",
        rate.quantity, rate.price, rate.exact_amount, known.outfit.currency
    )
}

fn posted(step: &PaymentStep, unit: &str) -> String {
    let (week, line) = (step.settled_week, step.line_number);
    let did = match step.event {
        PaymentEvent::Posted => "posted in",
        PaymentEvent::TakenBack => "taken back by",
    };
    format!(
        "{did} line {line} of the settlement of the week ending {week}, which comes to {} for {} {unit}",
        step.line_amount, step.line_quantity
    )
}

fn stands(rate: &RateExplanation) -> Option<String> {
    let week = rate.settles_with.map(|week| week.to_string()).unwrap_or_default();
    match rate.state {
        PayState::Open => {
            Some(format!("not settled yet: the week ending {week} is the first that can settle it"))
        }
        PayState::ToBeTakenBack => Some(format!(
            "it does not count any more: the week ending {week} is the first that can take it back"
        )),
        PayState::NeverPosted => Some("it does not count any more, and was never posted".to_owned()),
        PayState::Posted | PayState::TakenBack => None,
    }
}

/// Where a task on a piece stands.
pub fn of_task(
    known: &Known,
    task: &TaskExplanation,
    took_its_place: Option<&CorrectionStep>,
) -> Vec<String> {
    let mut says = Vec::new();
    for aside in &task.set_aside {
        says.push(format!(
            "set aside by {} on {}: {}",
            aside.made_by,
            known.outfit.time_zone.to_datetime(aside.made_at).date(),
            aside.reason
        ));
    }
    if let Some(unpriced) = &task.unpriced {
        let held = if unpriced.open {
            format!("; it holds up the week ending {}", known.open_week)
        } else {
            String::new()
        };
        says.push(format!("nothing pays for it: {}{held}", unpriced.says));
    }
    let rates = || task.under.iter().flat_map(|under| &under.rates);
    let any = |state: PayState| rates().any(|rate| rate.state == state);
    if any(PayState::Posted) {
        says.push("settled".to_owned());
    } else if any(PayState::Open) {
        says.push("counted, and not settled yet".to_owned());
    } else if any(PayState::ToBeTakenBack) {
        says.push("was settled, and is to be taken back".to_owned());
    } else if any(PayState::TakenBack) {
        says.push("was settled, and taken back".to_owned());
    } else if task.unpriced.is_none() && task.set_aside.is_empty() {
        says.push("never settled".to_owned());
    }
    if known.state == TicketState::Corrected {
        says.push(match took_its_place {
            Some(step) if step.void => format!("void since {} {}", step.ticket.book, step.ticket.number),
            Some(step) => format!(
                "{} {} tells where the work stands now, having taken this ticket's place",
                step.ticket.book, step.ticket.number
            ),
            None => "another ticket has taken this one's place".to_owned(),
        });
    }
    says
}
