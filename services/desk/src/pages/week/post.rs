//! Posting a week: what exactly will be posted, then the posting itself; and computing it again.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, get, post};
use client::ClientError;
use jiff::civil::Date;
use kernel::SettlementId;
use maud::html;
use serde::Deserialize;
use wire::words;

use super::held_up::Typed;
use super::lines;
use super::show::{Said, page};
use crate::desk::Desk;
use crate::form::{Sent, key_field};
use crate::page::moment;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// Shows what will be posted, and asks.
///
/// # Errors
///
/// [`Trouble`].
#[get("/week/{week}/post/{settlement}")]
pub async fn confirm(person: Person, path: Path<(Date, SettlementId)>) -> Result<HttpResponse, Trouble> {
    let (week, settlement) = path.into_inner();
    let draft = person.service.show_settlement(settlement).await?;
    let content = html! {
        p.notice { "Posting is for good: it cannot be undone. What is found wrong later is put right by a later week." }
        p { "The preview of " (draft.drafted_by) ", " (moment(draft.drafted_at)) ":" }
        (lines::totals(&draft))
        @if person.keeps_books() {
            form id="post" method="post" action={ "/desk/week/" (week) "/post/" (settlement) } {
                (key_field(&person))
                button id="post-now" type="submit" { "Post for good" }
                a.button.second href={ "/desk/week/" (week) } { "Back, without posting" }
            }
        }
        (lines::all(&draft))
    };
    let title = format!("Post the week ending {}?", words::day(week));
    let here = Some(Place::Week);
    Ok(Page { title: &title, person: Some(&person), here, scripts: &[], content }.found())
}

/// The form: its key is all there is.
#[derive(Debug, Deserialize)]
pub struct Agreed {}

/// Posts it, and leads to the posted week. A draft is posted once, however often the form is sent.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses, such as books that changed, is said on the week's page.
#[post("/week/{week}/post/{settlement}")]
pub async fn post(
    sent: Sent<Agreed>,
    desk: Data<Desk>,
    path: Path<(Date, SettlementId)>,
) -> Result<HttpResponse, Trouble> {
    let (week, settlement) = path.into_inner();
    match sent.person.service.post_settlement(settlement).await {
        Ok(_) => {
            let to = format!("/desk/week/{week}");
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) if problem.status == 422 || problem.status == 409 => {
            let status = StatusCode::from_u16(problem.status).map_err(Trouble::internal)?;
            page(
                &sent.person,
                &desk,
                week,
                Said { markup: refused(&problem), typed: Typed::default(), status },
            )
            .await
        }
        Err(error) => Err(error.into()),
    }
}

/// Computes a posted week again from what was measured, and says what came of it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/week/{week}/again/{settlement}")]
pub async fn computed_again(
    person: Person,
    path: Path<(Date, SettlementId)>,
) -> Result<HttpResponse, Trouble> {
    let (week, settlement) = path.into_inner();
    let done = person.service.rederive_settlement(settlement, None).await?;
    let content = html! {
        @if done.agrees { p.done role="status" { "All of it is as it was posted." } }
        @else { p.refusal role="alert" { (words::count(done.difference_count, "place is", "places are")) " not as posted." } }
        p { (words::count(done.compared.lines, "line", "lines")) " on " (words::count(done.compared.tickets, "ticket", "tickets"))
            " and " (words::count(done.compared.pieces, "stick", "sticks")) " were computed again." }
        ul { @for one in &done.differences { li { (one.says) } } }
        @for left_out in &done.not_compared { p { (left_out) } }
        p { a href={ "/desk/week/" (week) } { "Back to the week" } }
    };
    let title = format!("The week ending {week}, computed again");
    let here = Some(Place::Week);
    Ok(Page { title: &title, person: Some(&person), here, scripts: &[], content }.found())
}
