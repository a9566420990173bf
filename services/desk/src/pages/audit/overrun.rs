//! Overrun: what mills sawed, held against the scale of the same logs.

use crate::table::{Cell, Table};
use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get};
use audit::Overrun;
use client::OverrunQuery;
use kernel::Fixed;
use maud::{Markup, html};
use papers::report::words;
use wire::{LeftOut, OverrunAudit, OverrunRow, OverrunScale};

use super::asked::{Choices, Filled, id};
use super::{facts, page};
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it, tally by tally.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/overrun")]
pub async fn show(person: Person, desk: Data<Desk>, filled: Query<Filled>) -> Result<HttpResponse, Trouble> {
    let filled = filled.into_inner().with_days(&person, &desk).await?;
    let (from, to) = filled.days()?;
    let query = OverrunQuery { from, to, mill_id: None, job_id: id(&filled.job_id)? };
    let audit = person.service.audit_overrun(&query).await?;
    let choices = Choices { jobs: Choices::read(&person).await?.jobs, ..Choices::default() };
    let content = html! {
        (filled.form("/desk/audit/overrun", &choices))
        (rows(&audit))
    };
    Ok(page(&person, "Overrun", "/desk/audit/overrun", &content))
}

fn rows(audit: &OverrunAudit) -> Markup {
    html! {
        @if audit.rows.is_empty() { p { "No mill tally from " (audit.from) " to " (audit.to) " stands." } }
        @for (number, one) in (1_u32..).zip(&audit.rows) { (row(number, one)) }
        p.help { (audit.caution) }
    }
}

fn row(number: u32, one: &OverrunRow) -> Markup {
    let tally = &one.tally;
    let known = [
        ("Job", tally.job_name.clone().unwrap_or_else(|| "all jobs".to_owned())),
        ("Lumber", format!("{} board feet of {}", tally.board_feet, tally.lumber_state.says())),
        ("Tallied by", tally.tallied_by.clone()),
        ("Tickets", one.tickets.to_string()),
    ];
    html! {
        section id={ "tally-" (tally.mill_tally_id) } {
            h2 { (tally.mill_name) ", " (tally.from) " to " (tally.to) }
            (facts(&known))
            (scales(number, one).shown())
            (told(number, one))
            ul {
                @for reason in one.not_comparable.iter().chain(one.species.iter().flat_map(|one| &one.not_comparable)) {
                    li { (super::sentence(reason)) }
                }
                @for left in &one.left_out { li { (left_out(left)) } }
                @if one.entered_since > 0 { li { "Came after the tally was filed, and counted: " (one.entered_since) "." } }
                @if one.corrected_since > 0 { li { "Corrected after the tally was filed: " (one.corrected_since) "." } }
                @for other in &one.overlaps { li { a href={ "#tally-" (other) } { "Another tally" } " claims some of the same logs." } }
            }
        }
    }
}

/// Pieces that are in none of the figures.
#[must_use]
pub fn left_out(one: &LeftOut) -> String {
    format!("Not in it, {}: {}.", words::count(one.pieces, "piece"), one.says)
}

fn scales(number: u32, row: &OverrunRow) -> Table {
    let heads = ["Of", "Rule", "In", "Logs", "Culls", "Gross", "Net"];
    let mut table = Table::new(format!("table-scales-{number}"), "The same logs by scale", &heads);
    let mut add = |of: &str, scales: &[OverrunScale]| {
        for scale in scales {
            table.rows.push(vec![
                Cell::Head(of.to_owned()),
                Cell::Words(scale.rule.clone()),
                Cell::Words(scale.unit.words().to_owned()),
                Cell::figure(scale.logs),
                Cell::figure(scale.culls),
                Cell::figure(scale.gross),
                Cell::figure(scale.net),
            ]);
        }
    };
    add("all", &row.scales);
    row.species.iter().for_each(|one| add(&one.species, &one.scales));
    table
}

fn told(number: u32, row: &OverrunRow) -> Markup {
    let heads = ["Of", "Held against", "Tally", "Scale", "Difference", "Percent", "In a word"];
    let mut table = Table::new(format!("table-overrun-{number}"), "The tally held against the scale", &heads);
    let mut add = |of: &str, figures: &[Overrun]| {
        for figure in figures {
            let word = match figure.percent {
                percent if percent.is_negative() => "underrun",
                Fixed::ZERO => "even",
                _ => "overrun",
            };
            table.rows.push(vec![
                Cell::Head(of.to_owned()),
                Cell::Words(format!("{} scale by {}", figure.base.name(), figure.rule)),
                Cell::figure(figure.tally),
                Cell::figure(figure.scale),
                Cell::figure(figure.difference),
                Cell::figure(figure.percent),
                Cell::Words(word.to_owned()),
            ]);
        }
    };
    add("all", &row.figures);
    row.species.iter().for_each(|one| add(&one.species, &one.figures));
    html! { @if !table.rows.is_empty() { (table.shown()) } }
}
