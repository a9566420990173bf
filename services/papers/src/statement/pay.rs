//! A worker's pay beside the lines of work: what is added and how it came about, and what is kept back.

use settlement::LineKind;
use wire::words::{supplement, take_off};
use wire::{HoursView, PayView, SupplementView};

use crate::paper::{Block, Section};
use crate::table::{Cell, Column, Table};
use crate::words::capital;

/// What is added, and the hours; none where there are neither.
pub(super) fn added(pay: &PayView) -> Option<Section> {
    let mut blocks: Vec<_> = hours(pay).map(Block::Paragraph).into_iter().collect();
    if !pay.supplements.is_empty() {
        let heads = [Column::words("Added"), Column::words("For"), Column::figures("Amount")];
        let mut table = Table::new("table-added", format!("Amounts in {}", pay.added.currency()), heads);
        for one in &pay.supplements {
            let what = capital(supplement(one.supplement));
            table.row([Cell::head(what), Cell::words(week(one)), Cell::figure(one.amount.amount_text())]);
            if one.kind == LineKind::Adjustment {
                table.remark(format!("{} before, {} now.", one.formerly_amount, one.now_amount));
            }
        }
        table.total([Cell::head("Added in all"), Cell::words(""), Cell::figure(pay.added.amount_text())]);
        blocks.push(Block::Table(table));
    }
    if !pay.working.is_empty() {
        blocks.push(Block::Points(pay.working.iter().map(|step| capital(step)).collect()));
    }
    (!blocks.is_empty()).then(|| Section::new("added", "Hours, and what is added", blocks))
}

fn hours(pay: &PayView) -> Option<String> {
    let HoursView { piece_work, paid_by_time, rest, all, overtime } = pay.hours.as_ref()?;
    let mut says = format!(
        "Hours: {all} in all; {piece_work} on piece work, {paid_by_time} paid by time, {rest} of rest; {overtime} past \
         the threshold for overtime."
    );
    if let Some(rate) = &pay.regular_rate {
        says.push_str(&format!(" The week brought {rate} {} an hour.", pay.earned.currency()));
    }
    Some(says)
}

fn week(one: &SupplementView) -> String {
    let which = match one.kind {
        LineKind::Regular => "the week ending",
        LineKind::Adjustment => "adjusts the week ending",
    };
    format!("{which} {}", one.week_ends_on)
}

/// What is kept back; none where nothing is.
pub(super) fn kept_back(pay: &PayView) -> Option<Section> {
    if pay.take_offs.is_empty() {
        return None;
    }
    let heads = [
        Column::words("Kept back"),
        Column::figures("Due"),
        Column::figures("Taken"),
        Column::figures("Left"),
    ];
    let mut table = Table::new("table-kept-back", format!("Amounts in {}", pay.kept_back.currency()), heads);
    for one in &pay.take_offs {
        table.row([
            Cell::head(capital(&take_off(one))),
            Cell::figure(one.due.amount_text()),
            Cell::figure(one.taken.amount_text()),
            Cell::figure(one.carried.amount_text()),
        ]);
    }
    let sum = Cell::figure(pay.kept_back.amount_text());
    table.total([Cell::head("Kept back in all"), Cell::words(""), sum, Cell::words("")]);
    let mut blocks = vec![Block::Table(table)];
    if !pay.protected.is_zero() {
        let says = format!("Nothing but board and lodging may cut into {} of this pay.", pay.protected);
        blocks.push(Block::Paragraph(says));
    }
    Some(Section::new("kept-back", "Kept back", blocks))
}
