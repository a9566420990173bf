//! A worker's pay beside the lines of work: what is added, and what is kept back.

use settlement::LineKind;
use wire::words::{supplement, take_off};
use wire::{HoursView, PayView, SupplementView, TakeOffView};

use super::table::{Column, Table, indented};

/// What is added to a worker's pay and how it came about, then what is kept back of it; empty where there is neither.
pub(super) fn beside_the_lines(pay: &PayView) -> String {
    let mut text = hours(pay);
    text.push_str(&added(&pay.supplements));
    for step in &pay.working {
        text.push_str(&indented(step, 4));
    }
    if !pay.working.is_empty() {
        text.push('\n');
    }
    text.push_str(&kept_back(&pay.take_offs));
    if !pay.take_offs.is_empty() && !pay.protected.is_zero() {
        let says = format!("Nothing but board and lodging may cut into {} of this pay.", pay.protected);
        text.push_str(&format!("{}\n", indented(&says, 2)));
    }
    text
}

/// Everybody's pay, each with what is added and kept back below it; empty where there is nobody.
pub(super) fn of_everybody(pays: &[PayView]) -> String {
    if pays.is_empty() {
        return String::new();
    }
    let mut table = Table::new([
        Column::text("Pay of", 26),
        Column::number("Earned"),
        Column::number("Added"),
        Column::number("Kept back"),
        Column::number("Total"),
    ]);
    for pay in pays {
        table.row([
            pay.payee.name.clone(),
            pay.earned.amount_text(),
            pay.added.amount_text(),
            pay.kept_back.amount_text(),
            pay.total.amount_text(),
        ]);
        for one in &pay.supplements {
            table.note(format!(
                "{}, {}: {}",
                supplement(one.supplement),
                week(one),
                one.amount.amount_text()
            ));
        }
        for one in &pay.take_offs {
            table.note(format!("{}: {}", take_off(one), one.taken.amount_text()) + &left(one));
        }
    }
    format!("\n{table}")
}

fn hours(pay: &PayView) -> String {
    let Some(HoursView { piece_work, paid_by_time, rest, all, overtime }) = &pay.hours else {
        return String::new();
    };
    let mut says = format!(
        "Hours: {all} in all; {piece_work} on piece work, {paid_by_time} paid by time, {rest} of rest; {overtime} past \
         the threshold for overtime."
    );
    if let Some(rate) = &pay.regular_rate {
        says.push_str(&format!(" The week brought {rate} {} an hour.", pay.earned.currency()));
    }
    format!("{}\n", indented(&says, 2))
}

fn added(supplements: &[SupplementView]) -> String {
    if supplements.is_empty() {
        return String::new();
    }
    let mut table =
        Table::new([Column::text("Added", 24), Column::text("For", 30), Column::number("Amount")]);
    for one in supplements {
        table.row([supplement(one.supplement).to_owned(), week(one), one.amount.amount_text()]);
        if one.kind == LineKind::Adjustment {
            table.note(format!("{} before, {} now.", one.formerly_amount, one.now_amount));
        }
    }
    format!("{table}\n")
}

fn kept_back(take_offs: &[TakeOffView]) -> String {
    if take_offs.is_empty() {
        return String::new();
    }
    let mut table = Table::new([
        Column::text("Kept back", 44),
        Column::number("Due"),
        Column::number("Taken"),
        Column::number("Left"),
    ]);
    for one in take_offs {
        table.row([take_off(one), one.due.amount_text(), one.taken.amount_text(), one.carried.amount_text()]);
    }
    format!("{table}\n")
}

fn week(one: &SupplementView) -> String {
    let which = match one.kind {
        LineKind::Regular => "the week ending",
        LineKind::Adjustment => "adjusts the week ending",
    };
    format!("{which} {}", one.week_ends_on)
}

/// What the pay did not allow.
fn left(one: &TakeOffView) -> String {
    if one.carried.is_zero() {
        String::new()
    } else {
        format!(", and {} of the {} due is left", one.carried.amount_text(), one.due.amount_text())
    }
}
