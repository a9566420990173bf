//! Papers as plain text: settlements, statements, explanations, audits and tickets, all within 80 characters where
//! the figures allow it.
//!
//! Every function answers a whole text that ends with a line break. Figures stand as the service gave them; nothing
//! is computed here but the percentage of defect and the decimals of a cruise, whose rounding the paper names.

mod audit;
mod check_scale;
mod crew_sheet;
mod cruise;
mod exceptions;
mod explanation;
mod journal;
mod margin;
mod measured;
mod overrun;
mod pay;
mod payees;
mod rederivation;
mod seal;
mod settlement;
mod stages;
mod statement;
mod table;
mod ticket;
mod ticket_explanation;
mod volumes;
mod words;

pub use audit::audit;
pub use check_scale::check_scale;
pub use crew_sheet::crew_sheet;
pub use cruise::{cruise, cut_out};
pub use exceptions::{exceptions, exceptions_by_kind};
pub use explanation::{explanation, statement_line};
pub use journal::{balances, trial_balance};
pub use margin::margin;
pub use measured::summary as stick;
pub use overrun::{mill_tally, overrun};
pub use rederivation::rederivation;
pub use seal::{seal, seal_check, seals, verified};
pub use settlement::settlement;
pub use statement::statement;
pub use table::{Column, Table};
pub use ticket::{ticket, tickets, working};
pub use ticket_explanation::ticket_explanation;

use wire::words::{adjusted, adjusting};
pub(crate) use words::count;

/// Facts below one another, their names in a column.
fn facts(facts: &[(&str, String)]) -> String {
    let widest = facts.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
    facts.iter().map(|(name, says)| format!("  {name:<widest$}  {says}\n")).collect()
}

/// Amounts below one another, their ends in line.
fn amounts(amounts: &[(String, kernel::Money)]) -> String {
    let rows: Vec<_> = amounts.iter().map(|(name, amount)| (name, amount.to_string())).collect();
    let names = rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
    let figures = rows.iter().map(|(_, amount)| amount.chars().count()).max().unwrap_or(0);
    rows.iter().map(|(name, amount)| format!("  {name:<names$}  {amount:>figures$}\n")).collect()
}

/// Pieces that nothing pays for, one to a line.
fn unpriced(open: &[wire::UnpricedView]) -> String {
    let line = |one: &wire::UnpricedView| {
        let piece = one.piece.map_or_else(|| "the turn".to_owned(), |piece| format!("piece {piece}"));
        let says = format!("Ticket {} {}, {}, {piece}: {}", one.book, one.number, one.task, one.says);
        table::hanging(&says, 2)
    };
    open.iter().map(line).collect()
}
