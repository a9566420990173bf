//! What posted lines did with a ticket's work under a rate.

use jiff::civil::Date;
use kernel::{DerivationId, Money};
use storage::{Derivation, PostedLine};
use wire::{PayState, PaymentEvent, PaymentStep};

use super::Known;

/// Every posted line that counted a derivation under a rate or took it back, oldest first; within one settlement what
/// takes back comes before what counts.
pub fn of(known: &Known, derivation: &Derivation, rate: u16) -> Vec<PaymentStep> {
    let mut steps = Vec::new();
    for line in &known.lines {
        if line.key.terms != derivation.terms || line.key.rate.saturating_add(1) != rate {
            continue;
        }
        if line.withdrawn.contains(&derivation.id) {
            steps.extend(step(known, line, PaymentEvent::TakenBack));
        }
        if line.entered.contains(&derivation.id) {
            steps.extend(step(known, line, PaymentEvent::Posted));
        }
    }
    steps.sort_by_key(|step| (step.settled_week, step.event == PaymentEvent::Posted, step.line_number));
    steps
}

fn step(known: &Known, line: &PostedLine, event: PaymentEvent) -> Option<PaymentStep> {
    let week = known.weeks.get(&line.settlement)?;
    Some(PaymentStep {
        event,
        settlement_id: line.settlement,
        settled_week: week.week_ends_on,
        line_number: line.number,
        line_quantity: line.quantity,
        line_amount: Money::from_minor(line.amount_minor, known.outfit.currency),
        posted_by: known.mill.is_none().then(|| week.posted.by.clone()),
        posted_at: week.posted.at,
    })
}

/// Where pay stands after this, and the earliest week that can change it where something is open.
pub fn state(known: &Known, derivation: DerivationId, history: &[PaymentStep]) -> (PayState, Option<Date>) {
    let counted = history.last().map(|step| step.event == PaymentEvent::Posted);
    match (known.standing.contains(&derivation), counted) {
        (true, Some(true)) => (PayState::Posted, None),
        (true, _) => (PayState::Open, Some(known.open_week)),
        (false, Some(true)) => (PayState::ToBeTakenBack, Some(known.open_week)),
        (false, Some(false)) => (PayState::TakenBack, None),
        (false, None) => (PayState::NeverPosted, None),
    }
}
