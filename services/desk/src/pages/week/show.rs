//! A week: open, with its preview; or posted, with its statements.

use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, get};
use client::comparing::gathering;
use client::{PageQuery, SettlementQuery, StatementQuery, all_pages, readiness};
use jiff::civil::Date;
use maud::{Markup, html};
use wire::{SettlementState, SettlementView, words};

use super::held_up::Typed;
use super::{differences, held_up, lines, pay, volumes};
use crate::desk::Desk;
use crate::form::key_field;
use crate::page::{Page, Place};
use crate::pages::statements::list::of_week;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/week/{week}")]
pub async fn show(person: Person, desk: Data<Desk>, week: Path<Date>) -> Result<HttpResponse, Trouble> {
    page(&person, &desk, *week, Said { markup: html! {}, typed: Typed::default(), status: StatusCode::OK })
        .await
}

/// What is to be said first on the page, and what was typed.
#[derive(Debug)]
pub struct Said {
    /// What is said.
    pub markup: Markup,
    /// What was filled in.
    pub typed: Typed,
    /// The answer's status.
    pub status: StatusCode,
}

/// The page of a week, with something said first.
///
/// # Errors
///
/// [`Trouble`].
pub async fn page(person: &Person, desk: &Desk, week: Date, said: Said) -> Result<HttpResponse, Trouble> {
    let service = &person.service;
    let query = SettlementQuery { week_ends_on: Some(week), limit: Some(500), ..SettlementQuery::default() };
    let mut all =
        all_pages(async |after| service.list_settlements(&SettlementQuery { after, ..query.clone() }).await)
            .await?;
    all.sort_by_key(|one| one.drafted_at);
    let posted = all.iter().rev().find(|one| one.state == SettlementState::Posted);
    let content = match posted {
        Some(posted) => of_posted(person, &service.show_settlement(posted.settlement_id).await?).await?,
        None => of_drafts(person, desk, week, &all, &said.typed).await?,
    };
    let content = html! { (said.markup) (content) };
    let title = format!("Week ending {}", words::day(week));
    let here = Some(Place::Week);
    Ok(Page { title: &title, person: Some(person), here, scripts: &[], content }.answer(said.status))
}

async fn of_drafts(
    person: &Person,
    desk: &Desk,
    week: Date,
    drafts: &[SettlementView],
    typed: &Typed,
) -> Result<Markup, Trouble> {
    let service = &person.service;
    let mut latest = drafts.iter().rev();
    let Some(last) = latest.next() else {
        return Ok(
            html! { p { "There is no preview of this week yet." } (draft_form(person, desk, week, None)) },
        );
    };
    let draft = service.show_settlement(last.settlement_id).await?;
    let found = match latest.next() {
        Some(before) => {
            let before = service.show_settlement(before.settlement_id).await?;
            Some(gathering::since(service, &before, &draft).await?)
        }
        None => None,
    };
    let page = |after| PageQuery { after, limit: Some(500) };
    let contracts = all_pages(async |after| service.list_contracts(&page(after)).await).await?;
    let ready = readiness::of_week(service, &draft).await?;
    Ok(html! {
        (held_up::blocks(person, &draft, &contracts, &desk.random(), typed))
        @if person.keeps_books() && draft.unpriced.is_empty() {
            p { a #to-posting .button href={ "/desk/week/" (week) "/post/" (draft.settlement_id) } { "Go on to posting" } }
        }
        h2 id="preview" { "Preview" }
        p { "Drafted by " (draft.drafted_by) ", " (crate::page::moment(draft.drafted_at)) ". A preview pays nothing." }
        (lines::totals(&draft))
        (draft_form(person, desk, week, Some(&draft)))
        @if let Some(found) = &found { (differences::told(found)) }
        (held_up::beside(&ready))
        (lines::all(&draft))
        (volumes::all(&draft.volumes))
        (pay::of_everybody(&draft.pays))
    })
}

/// The form that previews the week; where there is a preview already, it is not the first thing to do.
fn draft_form(person: &Person, desk: &Desk, week: Date, draft: Option<&SettlementView>) -> Markup {
    html! { @if person.keeps_books() {
        form id="draft" method="post" action={ "/desk/week/" (week) "/preview" } {
            (key_field(person))
            input type="hidden" name="once" value=(desk.random());
            @if draft.is_none() { button id="preview-now" type="submit" { "Preview the week" } }
            @else { button.second id="preview-now" type="submit" { "Preview again" } }
        }
    } }
}

async fn of_posted(person: &Person, posted: &SettlementView) -> Result<Markup, Trouble> {
    let service = &person.service;
    let query = StatementQuery {
        settlement_id: Some(posted.settlement_id),
        limit: Some(500),
        ..StatementQuery::default()
    };
    let statements =
        all_pages(async |after| service.list_statements(&StatementQuery { after, ..query.clone() }).await)
            .await?;
    let page = |after| PageQuery { after, limit: Some(500) };
    let seals = all_pages(async |after| service.list_seals(&page(after)).await).await?;
    let seal = seals.iter().find(|one| one.statement.settlement_id == Some(posted.settlement_id));
    Ok(html! {
        p.done role="status" {
            "Posted for good"
            @if let Some(by) = &posted.posted_by { " by " (by) } @if let Some(at) = posted.posted_at { ", " (crate::page::moment(at)) } "."
        }
        (lines::totals(posted))
        p {
            @if let Some(seal) = seal { a #seal href={ "/desk/audit/seals/" (seal.statement.seal_id) } { "The week's seal" } " · " }
            a #again href={ "/desk/week/" (posted.week_ends_on) "/again/" (posted.settlement_id) } { "Compute it again" } }
        (of_week(&statements))
        (lines::all(posted))
        (volumes::all(&posted.volumes))
        (pay::of_everybody(&posted.pays))
    })
}
