//! What is said of lines, supplements and what is kept back.

use settlement::Supplement;

use crate::{AdjustmentReference, LineView, TakeOffView, TicketReference};

/// Tickets by their names in the yard: `A 12, A 13`.
#[must_use]
pub fn ticket_names(tickets: &[TicketReference]) -> String {
    let names: Vec<_> = tickets.iter().map(|ticket| format!("{} {}", ticket.book, ticket.number)).collect();
    names.join(", ")
}

/// What an adjustment does with tickets; empty for a line that is none.
///
/// ```
/// assert_eq!(wire::words::adjusting(&[], &[]), "");
/// ```
#[must_use]
pub fn adjusting(withdrawn: &[TicketReference], entered: &[TicketReference]) -> String {
    let mut parts = Vec::new();
    if !withdrawn.is_empty() {
        parts.push(format!("takes back what was paid on {}", ticket_names(withdrawn)));
    }
    if !entered.is_empty() {
        parts.push(format!("pays {} as it now stands", ticket_names(entered)));
    }
    parts.join("; ")
}

/// What check scales did to a line; empty where they did nothing.
///
/// ```
/// assert_eq!(wire::words::adjusted(&[], &[]), "");
/// ```
#[must_use]
pub fn adjusted(withdrawn: &[AdjustmentReference], entered: &[AdjustmentReference]) -> String {
    let mut parts = Vec::new();
    if !entered.is_empty() {
        parts.push("with an adjustment after a check scale");
    }
    if !withdrawn.is_empty() {
        parts.push("without an adjustment after a check scale that was taken back");
    }
    parts.join("; ")
}

/// What an adjustment of an earlier week adjusts, with the figures before and after.
#[must_use]
pub fn adjustment(line: &LineView) -> String {
    let mut says = format!(
        "Adjusts the week ending {}: {} for {} before, {} for {} now",
        line.week_ends_on,
        super::quantity(line.formerly_quantity, line.unit),
        line.formerly_amount,
        super::quantity(line.now_quantity, line.unit),
        line.now_amount,
    );
    let does = adjusting(&line.withdrawn, &line.entered);
    if !does.is_empty() {
        says.push_str(&format!("; {does}"));
    }
    says.push('.');
    says
}

/// What is added to pay.
///
/// ```
/// assert_eq!(wire::words::supplement(settlement::Supplement::RestPay), "pay for rest");
/// ```
#[must_use]
pub const fn supplement(one: Supplement) -> &'static str {
    match one {
        Supplement::GuaranteeMakeUp => "make-up to the guarantee",
        Supplement::MinimumMakeUp => "make-up to the minimum",
        Supplement::RestPay => "pay for rest",
        Supplement::OvertimePremium => "premium for overtime",
    }
}

/// What is kept back, in the words it was recorded with.
#[must_use]
pub fn take_off(one: &TakeOffView) -> String {
    let day = one.dated.map(|day| format!(" of {day}")).unwrap_or_default();
    match one.charge_kind {
        Some(kind) => format!("{}{day}: {}", kind.name(), one.says),
        None if one.advance_id.is_some() => format!("advance{day}: {}", one.says),
        None => one.says.clone(),
    }
}
