//! One check scale: the same sticks by two people beside each other, the verdict, and what it comes to.

use crate::table::{Cell, Table};
use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use client::ComparisonQuery;
use kernel::CheckScaleId;
use maud::{Markup, html};
use papers::report::check_scales::check_scale_alone;
use papers::report::words;
use wire::{
    CheckMoneyView, CheckScaleComparison, ComparedPieceView, OneScaleView, ReportedCheckScale,
    VolumeAdjustmentView,
};

use super::{facts, page, sentences};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/check-scales/{check_scale}")]
pub async fn show(person: Person, id: Path<CheckScaleId>) -> Result<HttpResponse, Trouble> {
    let shown = person.service.show_check_scale(*id, &ComparisonQuery::default()).await?;
    let title = format!("Check scale of {}", shown.check_scale.checked_on);
    Ok(page(&person, &title, "/desk/audit/check-scales", &content(&shown)))
}

fn content(shown: &CheckScaleComparison) -> Markup {
    let head = &shown.check_scale;
    let known = [
        ("Contract", head.contract_title.clone()),
        ("Lot", format!("{} to {}", wire::words::day(head.from), wire::words::day(head.to))),
        ("Scaler", head.scaler.clone().unwrap_or_else(|| "several".to_owned())),
        ("Checker", head.checker.clone()),
        ("Checked on", format!("{}, {}", wire::words::day(head.checked_on), head.notice.name())),
        ("Remarks", head.remarks.clone().unwrap_or_else(|| "none".to_owned())),
    ];
    let reported = ReportedCheckScale {
        check_scale: head.clone(),
        strata: shown.strata.clone(),
        points: shown.points.clone(),
        confidence_percent: shown.confidence_percent,
        verdict: shown.verdict.clone(),
    };
    html! {
        (facts(&known))
        h2 id="verdict" { "Verdict" }
        (papers::html::blocks(&check_scale_alone(&reported)))
        @if shown.corrected_since > 0 {
            p { (words::count(i64::try_from(shown.corrected_since).unwrap_or(i64::MAX), "piece")) " on tickets corrected since the check." }
        }
        @if let Some(record) = &shown.scaler_record {
            p { (record.scaler) ": " (words::count(i64::try_from(record.checks.len()).unwrap_or(i64::MAX), "check")) ", the last "
                (record.failures_in_a_row) " in a row beyond tolerance." @if let Some(says) = &record.says { " " (super::sentence(says)) } }
        }
        h2 id="sticks" { "Stick by stick" }
        (sticks(&shown.pieces).shown())
        @if let Some(one) = &shown.money { (money(one)) }
        @for one in &shown.adjustments { (adjustment(one)) }
        (sentences(&shown.cautions))
    }
}

fn sticks(pieces: &[ComparedPieceView]) -> Table {
    let heads = [
        "Ticket",
        "Stick",
        "Scaler",
        "By",
        "Scaler's gross",
        "Checker's gross",
        "Scaler's net",
        "Checker's net",
        "In",
        "Note",
    ];
    let mut table = Table::new("table-sticks", "Both scales of every stick of the sample", &heads);
    for one in pieces {
        let figure = |side: &Option<OneScaleView>, take: fn(&OneScaleView) -> Option<kernel::Fixed>| {
            Cell::maybe(side.as_ref().and_then(take))
        };
        let unit = one.original.iter().chain(&one.check).find_map(|side| side.unit);
        table.rows.push(vec![
            Cell::Link {
                says: format!("{} {}", one.ticket.book, one.ticket.number),
                to: format!("/desk/audit/tickets/{}", one.ticket.ticket_id),
                head: true,
            },
            Cell::Words(one.piece.map_or("found besides".to_owned(), |piece| piece.to_string())),
            Cell::Words(one.scaler.clone()),
            Cell::Words(one.product.words().to_owned()),
            figure(&one.original, |side| side.gross),
            figure(&one.check, |side| side.gross),
            figure(&one.original, |side| side.net),
            figure(&one.check, |side| side.net),
            Cell::Words(unit.map_or(String::new(), |unit| unit.words().to_owned())),
            Cell::Words(note(one)),
        ]);
    }
    table
}

/// What is to be said of a stick beside its figures.
fn note(one: &ComparedPieceView) -> String {
    let mut notes = Vec::new();
    match (&one.original, &one.check) {
        (Some(_), None) => notes.push("missing when it was checked".to_owned()),
        (None, Some(_)) => notes.push("on no ticket".to_owned()),
        (Some(original), Some(check)) => {
            if original.species != check.species {
                notes.push(format!("{} by the scaler, {} by the checker", original.species, check.species));
            }
            if original.grade != check.grade {
                let grade = |side: &OneScaleView| side.grade.clone().unwrap_or_else(|| "no grade".to_owned());
                notes.push(format!("{} by the scaler, {} by the checker", grade(original), grade(check)));
            }
        }
        (None, None) => {}
    }
    for side in one.original.iter().chain(&one.check) {
        notes.extend(side.cull.clone().map(|why| format!("cull: {why}")));
        notes.extend(side.cannot.clone());
    }
    if one.corrected_by.is_some() {
        notes.push("corrected since".to_owned());
    }
    notes.join("; ")
}

fn money(money: &CheckMoneyView) -> Markup {
    let heads = ["Rate", "Task", "Price", "Held", "Ratio", "Change", "Amount"];
    let mut table = Table::new("table-money", "What it comes to, rate by rate", &heads);
    for line in &money.lines {
        table.rows.push(vec![
            Cell::Head(line.rate_name.clone()),
            Cell::Words(line.task.name().replace('_', " ")),
            Cell::figure(line.price),
            Cell::figure(line.quantity),
            Cell::figure(line.ratio),
            Cell::figure(line.change),
            Cell::figure(line.amount),
        ]);
    }
    html! {
        h2 id="money" { "What it comes to in money" }
        @if !money.lines.is_empty() { (table.shown()) }
        p { "In all " strong #amount { (money.amount) } ". "
            @if money.asked_for { "The contract's tolerance asks for an adjustment." } @else { "The contract's tolerance asks for none." } }
        (sentences(&money.says))
    }
}

fn adjustment(one: &VolumeAdjustmentView) -> Markup {
    html! {
        p.notice {
            "Adjusted by " (one.made_by) " on " (crate::page::moment(one.made_at)) ": " (one.reason)
            @if let Some(back) = &one.reversed { ". Taken back by " (back.reversed_by) "." }
        }
    }
}
