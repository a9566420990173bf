//! The scale books: how far each has come, which numbers are missing, and saying of numbers that they will never come.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get, post};
use client::{ClientError, PageQuery, all_pages};
use maud::{Markup, html};
use serde::Deserialize;
use wire::{GapView, Name, Remark, ScaleBookView, VoidedNumbersCreate, VoidedNumbersView};

use super::only_who_scales;
use crate::desk::Desk;
use crate::form::{Sent, key_field};
use crate::page::{Page, Place, query};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// Which book, and what was done.
#[derive(Debug, Default, Deserialize)]
pub struct Asked {
    #[serde(default)]
    book: String,
    #[serde(default)]
    was: String,
}

/// What is filled in.
#[derive(Debug, Default, Deserialize)]
pub struct Filled {
    #[serde(default)]
    once: String,
    #[serde(default)]
    book: String,
    #[serde(default)]
    from: String,
    #[serde(default)]
    to: String,
    #[serde(default)]
    reason: String,
}

/// One book, and the way to the others.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard/books")]
pub async fn show(desk: Data<Desk>, person: Person, asked: Query<Asked>) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let said =
        (asked.was == "void").then(|| html! { div.done role="status" { p { "The numbers are void." } } });
    let filled = Filled { once: desk.random(), book: asked.book.clone(), ..Filled::default() };
    page(&person, &filled, said, StatusCode::OK).await
}

/// Says of numbers that they will never come.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is told above the form.
#[post("/yard/books")]
pub async fn void_numbers(sent: Sent<Filled>) -> Result<HttpResponse, Trouble> {
    let Sent { person, form: filled } = sent;
    only_who_scales(&person)?;
    let (book, numbers) = match read(&filled) {
        Ok(read) => read,
        Err(says) => {
            let said = html! { div.refusal role="alert" { p { (says) } } };
            return page(&person, &filled, Some(said), StatusCode::UNPROCESSABLE_ENTITY).await;
        }
    };
    match person.filing(&filled.once).void_numbers(&book, &numbers).await {
        Ok(_) => {
            let to = format!("/desk/yard/books?{}", query(&[("book", book.as_str()), ("was", "void")]));
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) if problem.status != 401 => {
            let status = StatusCode::from_u16(problem.status).unwrap_or(StatusCode::CONFLICT);
            page(&person, &filled, Some(refused(&problem)), status).await
        }
        Err(error) => Err(error.into()),
    }
}

fn read(filled: &Filled) -> Result<(Name, VoidedNumbersCreate), String> {
    let number = |text: &str, what: &str| {
        text.trim().parse::<u32>().map_err(|_| format!("{what}: write a number, digits only."))
    };
    let book = Name::try_from(filled.book.clone()).map_err(|error| format!("Book: {error}."))?;
    let from = number(&filled.from, "First number")?;
    let to = if filled.to.trim().is_empty() { None } else { Some(number(&filled.to, "Last number")?) };
    let reason = Remark::try_from(filled.reason.clone()).map_err(|error| format!("Reason: {error}."))?;
    Ok((book, VoidedNumbersCreate { from, to, reason }))
}

async fn page(
    person: &Person,
    filled: &Filled,
    said: Option<Markup>,
    status: StatusCode,
) -> Result<HttpResponse, Trouble> {
    let service = &person.service;
    let part = |after| PageQuery { after, limit: Some(500) };
    let books = all_pages(async |after| service.list_scale_books(&part(after)).await).await?;
    let chosen = books.iter().find(|book| book.book == filled.book).or(books.last());
    let name = chosen.and_then(|book| Name::try_from(book.book.clone()).ok());
    let (mut gaps, mut voided) = (Vec::new(), Vec::new());
    if let Some(name) = &name {
        gaps = all_pages(async |after| service.list_gaps(name, &part(after)).await).await?;
        voided = all_pages(async |after| service.list_voided_numbers(name, &part(after)).await).await?;
    }
    let content = html! {
        @if let Some(said) = said { (said) }
        @if books.is_empty() { p { "No ticket is in the books yet." } }
        (list(&books))
        @if let Some(book) = chosen {
            h2 { "Missing from book " (book.book) }
            (missing(&gaps))
            (form(person, filled, &book.book, gaps.first()))
            (void(&voided))
        }
        p { a href="/desk/yard" { "Enter a ticket" } " · " a href="/desk/yard/tickets" { "Tickets of the day" } }
    };
    Ok(Page { title: "Scale books", person: Some(person), here: Some(Place::Yard), scripts: &[], content }
        .answer(status))
}

fn list(books: &[ScaleBookView]) -> Markup {
    html! { @if !books.is_empty() {
        div.wide tabindex="0" role="region" aria-label="Scale books" { table id="books" {
            thead { tr { th scope="col" { "Book" } th.figure scope="col" { "From" } th.figure scope="col" { "To" }
                th.figure scope="col" { "Tickets" } th.figure scope="col" { "Void" } th.figure scope="col" { "Missing" } } }
            tbody { @for book in books { tr {
                th scope="row" { a href={ "/desk/yard/books?" (query(&[("book", &book.book)])) } { (book.book) } }
                td.figure { (book.first_number) } td.figure { (book.last_number) } td.figure { (book.tickets) }
                td.figure { (book.voided) } td.figure { (book.missing) }
            } } }
        } }
    } }
}

fn span(from: i64, to: i64) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

fn missing(gaps: &[GapView]) -> Markup {
    html! {
        @if gaps.is_empty() { p id="none-missing" { "No number is missing." } } @else {
            ul.plain id="missing" { @for gap in gaps { li {
                strong { (span(gap.from, gap.to)) } ", between " (gap.before.number)
                @if let Some(day) = gap.before.scaled_on { " (scaled " (day) ")" } " and " (gap.after.number)
                @if let Some(day) = gap.after.scaled_on { " (scaled " (day) ")" }
            } } }
        }
    }
}

fn form(person: &Person, filled: &Filled, book: &str, gap: Option<&GapView>) -> Markup {
    let or = |text: &str, other: Option<i64>| match (text, other) {
        ("", Some(number)) => number.to_string(),
        (text, _) => text.to_owned(),
    };
    html! {
        h2 { "Numbers that will never come" }
        form.narrow method="post" action="/desk/yard/books" {
            (key_field(person))
            input type="hidden" name="once" value=(filled.once);
            input type="hidden" name="book" value=(book);
            label for="from" { "First number" }
            input id="from" name="from" inputmode="numeric" required value=(or(&filled.from, gap.map(|gap| gap.from)));
            label for="to" { "Last number" }
            input id="to" name="to" inputmode="numeric" value=(or(&filled.to, gap.map(|gap| gap.to))) aria-describedby="to-help";
            p.help id="to-help" { "Empty where it is one number only." }
            label for="reason" { "Reason" }
            input id="reason" name="reason" required value=(filled.reason) aria-describedby="reason-help";
            p.help id="reason-help" { "A spoiled sheet, a lost book." }
            button type="submit" id="do-void-numbers" { "Void these numbers" }
        }
    }
}

fn void(voided: &[VoidedNumbersView]) -> Markup {
    html! { @if !voided.is_empty() {
        h2 { "Void" }
        ul.plain id="voided" { @for one in voided { li { strong { (span(one.from, one.to)) ":" } " " (one.reason) ", " (one.made_by) } } }
    } }
}
