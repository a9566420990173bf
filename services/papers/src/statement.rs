//! The statement of a worker or a mill: what is coming, and every line that leads to it.

mod lines;
mod pay;

use kernel::Money;
use wire::words::day;
use wire::{MovementView, StatementView, YearToDate};

use crate::paper::{Block, Fact, Lead, Paper, Section, Sum};
use crate::table::{Cell, Column, Table};
use crate::volumes;
use crate::words::file_name;

/// The paper of a statement. It begins with what the payee has coming, or what the mill owes.
///
/// ```
/// let statement = serde_json::from_str(r#"{
///     "statement_id": "0197a000-0000-7000-8000-000000000001",
///     "settlement_id": "0197a000-0000-7000-8000-000000000002",
///     "week_begins_on": "2031-06-01", "week_ends_on": "2031-06-07", "outfit_name": "Upper fork outfit",
///     "payee": {"worker_id": "0197a000-0000-7000-8000-000000000003", "name": "Otto Lind"},
///     "opening": {"amount": "4.00", "currency": "USD"}, "moved": {"amount": "-4.00", "currency": "USD"},
///     "earned": {"amount": "9.60", "currency": "USD"}, "added": {"amount": "0.00", "currency": "USD"},
///     "kept_back": {"amount": "1.60", "currency": "USD"},
///     "closing": {"amount": "8.00", "currency": "USD"}, "caution": "Not legal advice."
/// }"#)?;
/// let paper = papers::statement(&statement);
/// assert_eq!(paper.name(), "Pay statement: Otto Lind");
/// assert_eq!(paper.leads.first().map(|lead| lead.figure.as_str()), Some("8.00 USD"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn statement(statement: &StatementView) -> Paper {
    let mill = statement.payee.mill_id.is_some();
    let title = if mill { "Mill statement" } else { "Pay statement" };
    let mut paper = Paper::new(title, &statement.payee.name, &statement.outfit_name);
    paper.span = format!("Week ending {}", statement.week_ends_on);
    paper.file_name = file_name(&[title, &statement.payee.name, &statement.week_ends_on.to_string()]);
    paper.leads = vec![lead(statement, mill)];
    paper.facts = vec![
        Fact::new("Week", format!("{} to {}", day(statement.week_begins_on), day(statement.week_ends_on))),
        Fact::new(if mill { "Owed to" } else { "Paid by" }, &statement.outfit_name),
        Fact::new("Statement", statement.statement_id.to_string()),
        Fact::new("Settlement", statement.settlement_id.to_string()),
    ];
    let pay = statement.pay.as_ref();
    let worked = [
        Some(lines::section(statement, mill)),
        pay.and_then(pay::added),
        pay.and_then(pay::kept_back),
        movements(&statement.movements),
    ];
    let scaled = volumes::section(&statement.volumes, if mill { "Delivered" } else { "Scaled in the week" });
    // A mill looks for its wood first, a worker for his pay.
    let (before, after) = if mill { (scaled, None) } else { (None, scaled) };
    let rest = [
        Some(footing(statement, mill)),
        statement.year_to_date.as_ref().map(|year| so_far(year, mill)),
        after,
        Some(Section::new("caution", "Caution", vec![Block::Paragraph(statement.caution.clone())])),
    ];
    paper.sections =
        before.into_iter().chain(worked.into_iter().flatten()).chain(rest.into_iter().flatten()).collect();
    paper
}

fn lead(statement: &StatementView, mill: bool) -> Lead {
    let short = statement.closing.minor() < 0;
    let (name, says) = match (mill, short) {
        (false, false) => {
            ("What you have coming", "Carried down from this statement. The lines below lead to it.")
        }
        (false, true) => {
            ("Paid too much so far", "Below zero: it is carried down, and pay to come makes it good.")
        }
        (true, false) => {
            ("What the mill owes", "Carried down from this statement. The lines below lead to it.")
        }
        (true, true) => {
            ("Paid too much by the mill", "Below zero: it is carried down, and wood to come makes it good.")
        }
    };
    Lead { name: name.to_owned(), figure: statement.closing.to_string(), says: says.to_owned() }
}

/// Every figure of the statement in its order; they foot.
fn footing(statement: &StatementView, mill: bool) -> Section {
    let part = |name: &str, amount: Money| Sum::part(name, amount);
    let mut sums = vec![
        part("Brought forward", statement.opening),
        part("Came and went", statement.moved),
        part(lines::earned(mill), statement.earned),
    ];
    if !mill {
        sums.push(part("Added", statement.added));
        sums.push(part("Less kept back", statement.kept_back));
    }
    sums.push(Sum::total("Carried down", statement.closing));
    Section::new("footing", "How it foots", vec![Block::Sums(sums)])
}

/// What came to the account and went from it since the last statement.
fn movements(movements: &[MovementView]) -> Option<Section> {
    let heads = [Column::words("Day"), Column::words("What"), Column::figures("Amount")];
    let mut table = Table::new("table-movements", "Since the last statement", heads);
    for one in movements {
        table.row([Cell::head(one.dated), Cell::words(&one.says), Cell::figure(one.amount.amount_text())]);
    }
    (!movements.is_empty()).then(|| Section::new("movements", "Came and went", vec![Block::Table(table)]))
}

/// The sums of the year's statements up to this one.
fn so_far(year: &YearToDate, mill: bool) -> Section {
    let mut sums = vec![Sum::part(if mill { "Owed" } else { "Earned" }, year.earned)];
    if !mill {
        sums.push(Sum::part("Added", year.added));
        sums.push(Sum::part("Kept back", year.kept_back));
    }
    sums.push(Sum::part("Came and went", year.moved));
    let title = format!("In the weeks ending in {}, this one among them", year.year);
    Section::new("year", title, vec![Block::Sums(sums)])
}
