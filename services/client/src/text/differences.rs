//! What is different between two drafts of a week.

use kernel::Money;
use wire::{LineView, TicketReference, UnpricedView};

use super::table::{Column, Table, hanging, indented};
use super::{facts, words};
use wire::words::ticket_names;
use crate::comparing::{Difference, Differences, LineDifference, PayeeDifference, Totals};

/// The differences between two drafts as a paper for the office.
///
/// ```
/// # let text = r#"{
/// #     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
/// #     "paid_to_crews": {"amount": "0.00", "currency": "USD"},
/// #     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
/// #     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
/// #     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
/// # }"#;
/// let draft: wire::SettlementView = serde_json::from_str(text)?;
/// let none = client::comparing::compare(&draft, &draft, &[]);
/// assert!(client::text::differences(&none).contains("None: it comes to the same."));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn differences(found: &Differences) -> String {
    let mut paper = "SINCE THE PREVIEW BEFORE\n\n".to_owned();
    paper.push_str(&facts(&[("Before", found.before.to_string()), ("Now", found.after.to_string())]));
    paper.push('\n');
    if found.is_none() {
        paper.push_str("  None: it comes to the same.\n");
        return paper;
    }
    if let Some(Difference::Changed { before, after }) = &found.totals {
        paper.push_str(&totals(before, after));
    }
    paper.push_str(&payees(&found.payees));
    paper.push_str(&lines(&found.lines));
    paper.push_str(&held_up(&found.unpriced));
    if found.totals.is_none()
        && found.payees.is_empty()
        && found.lines.is_empty()
        && found.unpriced.is_empty()
    {
        paper.push_str("  Nobody's total changed; how a pay is made up, or what was scaled, did.\n");
    }
    paper
}

fn totals(before: &Totals, after: &Totals) -> String {
    let rows = [
        ("Paid to crews", before.paid_to_crews, after.paid_to_crews),
        ("Added to pay", before.added_to_pay, after.added_to_pay),
        ("Kept back of pay", before.kept_back, after.kept_back),
        ("Owed by mills", before.owed_by_mills, after.owed_by_mills),
    ];
    let mut table = figures("In all");
    for (name, before, after) in rows.into_iter().filter(|(_, before, after)| before != after) {
        table.row([name.to_owned(), before.amount_text(), after.amount_text(), more(before, after)]);
    }
    format!("{table}\n")
}

fn figures(what: &'static str) -> Table {
    Table::new([
        Column::text(what, 34),
        Column::number("Before"),
        Column::number("Now"),
        Column::number("Change"),
    ])
}

/// How much more it is, with its sign.
fn more(before: Money, after: Money) -> String {
    match after.minus(before) {
        Ok(change) if change.minor() > 0 => format!("+{}", change.amount_text()),
        Ok(change) => change.amount_text(),
        Err(_) => String::new(),
    }
}

fn payees(payees: &[PayeeDifference]) -> String {
    if payees.is_empty() {
        return String::new();
    }
    let mut table = figures("Who");
    for one in payees {
        let name = if one.payee.mill_id.is_some() {
            format!("{} (mill) owes", one.payee.name)
        } else {
            one.payee.name.clone()
        };
        let (before, after) = (one.before.total, one.after.total);
        table.row([name, before.amount_text(), after.amount_text(), more(before, after)]);
        let parts = [
            ("earned", one.before.earned, one.after.earned),
            ("added", one.before.added, one.after.added),
            ("kept back", one.before.kept_back, one.after.kept_back),
        ];
        let changed = parts.iter().filter(|(_, before, after)| before != after);
        let mut says: Vec<_> =
            changed.map(|(name, before, after)| format!("{name} {}", more(*before, *after))).collect();
        says.extend(behind(&one.tickets));
        if !says.is_empty() {
            table.note(format!("{}.", says.join("; ")));
        }
    }
    format!("{table}\n")
}

/// The tickets behind something, in words.
fn behind(tickets: &[TicketReference]) -> Option<String> {
    let many = if tickets.len() == 1 { "ticket" } else { "tickets" };
    (!tickets.is_empty()).then(|| format!("by {many} {}", ticket_names(tickets)))
}

fn lines(lines: &[LineDifference]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let mut table = figures("Line");
    for one in lines {
        let (before, after) = (one.change.before(), one.change.after());
        let Some(line) = after.or(before) else { continue };
        let amount = |line: Option<&LineView>| line.map(|line| line.amount.amount_text()).unwrap_or_default();
        let zero = Money::zero(line.amount.currency());
        let of = |line: Option<&LineView>| line.map_or(zero, |line| line.amount);
        let name = format!("{}: {}", line.task, line.rate_name);
        table.row([name, amount(before), amount(after), more(of(before), of(after))]);
        table.note(line_says(&one.change, line, &one.tickets));
    }
    format!("{table}\n")
}

/// Whose line it is, whether it is new or gone, its quantities, and the tickets behind it.
fn line_says(change: &Difference<LineView>, line: &LineView, tickets: &[TicketReference]) -> String {
    let quantity = |line: &LineView| words::quantity(line.quantity, line.unit);
    let what = match change {
        Difference::New { after } => format!("New: {}", quantity(after)),
        Difference::Gone { before } => format!("Gone: {}", quantity(before)),
        Difference::Changed { before, after } if before.quantity != after.quantity => {
            format!("{} before, {} now", quantity(before), quantity(after))
        }
        Difference::Changed { before, after } if before.amount != after.amount => {
            format!("{}, for another amount", quantity(after))
        }
        Difference::Changed { .. } => "Made up of something else, or shared otherwise".to_owned(),
    };
    let because =
        behind(tickets).unwrap_or_else(|| "by no ticket: terms, shares, hours or a check scale".to_owned());
    format!(
        "{}, {}, week ending {}. {what}; {because}.",
        line.contract_title, line.party_name, line.week_ends_on
    )
}

fn held_up(changes: &[Difference<UnpricedView>]) -> String {
    let mut text = String::new();
    let named = |one: &UnpricedView| {
        let piece = one.piece.map_or_else(|| "the turn".to_owned(), |piece| format!("piece {piece}"));
        format!("ticket {} {}, {}, {piece}", one.book, one.number, one.task)
    };
    for change in changes {
        text.push_str(&match change {
            Difference::New { after } => {
                hanging(&format!("Holds up the week now: {}: {}", named(after), after.says), 2)
            }
            Difference::Gone { before } => hanging(&format!("Holds it up no longer: {}", named(before)), 2),
            Difference::Changed { after, .. } => hanging(
                &format!("Still holds it up, for another reason: {}: {}", named(after), after.says),
                2,
            ),
        });
    }
    if text.is_empty() { text } else { format!("{}\n{text}", indented("What holds up the week", 0)) }
}
