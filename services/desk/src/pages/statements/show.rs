//! One payee's statement: the figures of the service as they are, each line with the way to how it came about.

use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use kernel::{Money, StatementId};
use maud::{Markup, html};
use settlement::LineKind;
use wire::{StatementLineView, StatementView, words};

use super::list::papers;
use crate::page::{Page, Place};
use crate::pages::week::{pay, volumes};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/statements/{statement}")]
pub async fn show(person: Person, statement: Path<StatementId>) -> Result<HttpResponse, Trouble> {
    let statement = person.service.show_statement(*statement).await?;
    let title = format!("Statement for {}", statement.payee.name);
    let content = content(&statement);
    let here = Some(Place::Statements);
    Ok(Page { title: &title, person: Some(&person), here, scripts: &[], content }.found())
}

fn content(statement: &StatementView) -> Markup {
    let mill = statement.payee.mill_id.is_some();
    html! {
        p { (words::day(statement.week_begins_on)) " to " (words::day(statement.week_ends_on)) ", "
            @if mill { "owed to " } @else { "paid by " } (statement.outfit_name) }
        p { "On paper: " (papers(statement)) }
        h2 { "How it foots" }
        (sums("Brought forward and carried down", &footing(statement, mill)))
        p.help { @if mill { "What is carried down is what the mill owes." } @else { "What is carried down is what the payee has coming." } }
        h2 { "Work" }
        @if statement.lines.is_empty() { p { "No work in this settlement." } }
        ul.plain { @for line in &statement.lines { li { (one_line(statement, line, mill)) } } }
        (volumes::all(&statement.volumes))
        @if let Some(one) = &statement.pay { h2 { "Added and kept back" } (pay::beside_the_lines(one)) }
        @if !statement.movements.is_empty() {
            h2 { "Came and went since the last statement" }
            ul { @for one in &statement.movements { li { (one.dated) " " (one.says) ": " strong { (one.amount) } } } }
        }
        @if let Some(year) = &statement.year_to_date {
            h2 { "In the weeks ending in " (year.year) }
            (sums("The year so far, this week among it", &[
                ("Earned", year.earned), ("Added", year.added), ("Kept back", year.kept_back), ("Came and went", year.moved),
            ]))
        }
        p.notice { (statement.caution) }
    }
}

fn footing(statement: &StatementView, mill: bool) -> Vec<(&'static str, Money)> {
    let mut figures = vec![
        ("Brought forward", statement.opening),
        ("Came and went", statement.moved),
        (if mill { "Owed for this week" } else { "Earned" }, statement.earned),
    ];
    if !mill {
        figures.push(("Added", statement.added));
        figures.push(("Less kept back", statement.kept_back));
    }
    figures.push(("Carried down", statement.closing));
    figures
}

fn sums(caption: &str, figures: &[(&str, Money)]) -> Markup {
    html! {
        table {
            caption { (caption) }
            tbody { @for (name, amount) in figures { tr { th scope="row" { (name) } td.figure { (amount) } } } }
        }
    }
}

fn one_line(statement: &StatementView, line: &StatementLineView, mill: bool) -> Markup {
    let explained = format!("/desk/audit/statements/{}/lines/{}", statement.statement_id, line.line_number);
    let does = words::adjusting(&line.withdrawn, &line.entered);
    let checked = words::adjusted(&line.withdrawn_adjustments, &line.entered_adjustments);
    html! {
        strong { (line.amount) } " " (line.task) ": " (line.rate_name) ", " (line.contract_title) br;
        (line.quantity) " (" (words::unit(line.unit, line.basis)) ") at " (line.price)
        @if line.pieces != 0 { "; " (words::count(line.pieces, "piece", "pieces")) }
        @if !mill { "; part of " (line.line_amount) " to " (line.party_name) }
        @if line.kind == LineKind::Adjustment { br; "Adjusts the week ending " (line.week_ends_on) @if !does.is_empty() { ": " (does) } }
        @if !checked.is_empty() { "; " (checked) }
        br; a href=(explained) { "How did this come about?" span.visually-hidden { " Line " (line.line_number) } }
    }
}
