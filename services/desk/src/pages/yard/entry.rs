//! Entering a ticket: the page, and what its form does when no script is there to do it. Between two steps everything
//! lies in the form itself; nothing is kept anywhere until the ticket is posted.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::Data;
use actix_web::{HttpResponse, get, post};
use client::{ClientError, Posted};
use wire::{CorrectionCreate, Remark, WorkEntry};

use super::choices::Choices;
use super::draft::{Draft, Wrong};
use super::fields;
use super::running;
use super::view::Entry;
use super::{SCRIPTS, only_who_scales};
use crate::desk::Desk;
use crate::form::Sent;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// What is told above the form.
#[derive(Debug, Default)]
pub struct Told {
    /// What is wrong with what was sent.
    pub wrong: Vec<Wrong>,
    /// What the service refused.
    pub refused: Option<ClientError>,
    /// What was done.
    pub done: Option<String>,
    /// Whether the ticket is to be looked over.
    pub look: bool,
}

/// An empty form, with what mostly stays the same filled in.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard")]
pub async fn show(desk: Data<Desk>, person: Person) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let choices = Choices::ask(&desk, &person).await?;
    let mut draft = Draft::default();
    let book = choices.books.last().map_or("", |book| book.book.as_str());
    draft.values.set("book", book);
    draft.values.set("number", &choices.next_number(book).to_string());
    draft.values.set("scaled_on", &choices.today.to_string());
    draft.values.set("scaler", &person.session.signed_in.subject);
    draft.values.set("product", "log");
    let landings: Vec<_> = choices.jobs.iter().flat_map(|job| &job.landings).collect();
    if let [only] = landings.as_slice() {
        draft.values.set("landing_id", &only.landing_id.to_string());
    }
    page(&person, &choices, &draft, &Told::default()).await
}

/// One step on the form.
///
/// # Errors
///
/// [`Trouble`]; what can be told above the form is.
#[post("/yard")]
pub async fn step(desk: Data<Desk>, sent: Sent<Vec<(String, String)>>) -> Result<HttpResponse, Trouble> {
    let Sent { person, form } = sent;
    only_who_scales(&person)?;
    let mut draft = Draft::read(form).map_err(|error| Trouble::Unreadable(format!("The sticks: {error}")))?;
    let choices = Choices::ask(&desk, &person).await?;
    let asked = draft.values.get("do").to_owned();
    draft.values.set("do", "");
    let (verb, place) = asked.split_once('-').unwrap_or((&asked, ""));
    let place = place.parse().unwrap_or_default();
    let mut told = Told::default();
    match verb {
        "defect" => more(&mut draft, "defect_rows", fields::defect_rows),
        "work" => {
            let rows = draft.work_rows().saturating_add(1).to_string();
            draft.values.set("work_rows", &rows);
        }
        "edit" => draft.edit(place),
        "drop" => {
            draft.drop_stick(place);
            told.done = Some(format!("Stick {place} was dropped."));
        }
        "back" => {}
        "look" => match draft.ticket(&choices) {
            Ok(_) => told.look = true,
            Err(wrong) => told.wrong = wrong,
        },
        "post" => match post_ticket(&person, &draft, &choices).await? {
            Outcome::Kept(posted) => {
                let (id, again) = (posted.ticket.ticket_id, if posted.replayed { "again" } else { "kept" });
                let to = format!("/desk/yard/tickets/{id}?was={again}");
                return Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish());
            }
            Outcome::Wrong(wrong) => told.wrong = wrong,
            Outcome::Refused(error) => told.refused = Some(error),
        },
        _ => match draft.add() {
            Ok(()) => told.done = Some(format!("{} on the ticket.", counted(draft.sticks.len()))),
            Err(wrong) => told.wrong = vec![wrong],
        },
    }
    page(&person, &choices, &draft, &told).await
}

fn more(draft: &mut Draft, name: &str, rows: impl Fn(&super::values::Values) -> usize) {
    let rows = rows(&draft.values).saturating_add(1).to_string();
    draft.values.set(name, &rows);
}

fn counted(sticks: usize) -> String {
    if sticks == 1 { "1 stick".to_owned() } else { format!("{sticks} sticks") }
}

enum Outcome {
    Kept(Box<Posted>),
    Wrong(Vec<Wrong>),
    Refused(ClientError),
}

async fn post_ticket(person: &Person, draft: &Draft, choices: &Choices) -> Result<Outcome, Trouble> {
    let ticket = match draft.ticket(choices) {
        Ok(ticket) => ticket,
        Err(wrong) => return Ok(Outcome::Wrong(wrong)),
    };
    let answer = match draft.values.filled("corrects") {
        Some(wrong_one) => {
            let wrong_one = wrong_one.parse().map_err(|_| Trouble::NoSuchPage)?;
            let reason = Remark::try_from(draft.values.get("reason").to_owned());
            match reason {
                Ok(reason) => {
                    person.service.correct_ticket(wrong_one, &CorrectionCreate { reason, ticket }).await
                }
                Err(error) => return Ok(Outcome::Wrong(vec![Wrong::at("reason", error.to_string())])),
            }
        }
        None => person.service.post_ticket(&ticket).await,
    };
    match answer {
        Ok(posted) => Ok(Outcome::Kept(Box::new(posted))),
        // Whoever is no longer signed in has to sign in first; all else is told above the form.
        Err(ClientError::Refused(problem)) if problem.status == 401 => {
            Err(ClientError::Refused(problem).into())
        }
        Err(error) => Ok(Outcome::Refused(error)),
    }
}

/// The page with a draft on it.
///
/// # Errors
///
/// [`Trouble`] of the service.
pub async fn page(
    person: &Person,
    choices: &Choices,
    draft: &Draft,
    told: &Told,
) -> Result<HttpResponse, Trouble> {
    let running = running_of(person, choices, draft).await?;
    let refusal = told.refused.as_ref().map(|error| match error {
        ClientError::Refused(problem) => refused(problem),
        other => maud::html! { div.refusal role="alert" { p { (other.to_string()) } p { "Nothing of the form is lost: send it again." } } },
    });
    let status = match (&told.refused, told.wrong.is_empty()) {
        (Some(ClientError::Refused(problem)), _) => {
            StatusCode::from_u16(problem.status).unwrap_or(StatusCode::CONFLICT)
        }
        (Some(_), _) => StatusCode::SERVICE_UNAVAILABLE,
        (None, false) => StatusCode::UNPROCESSABLE_ENTITY,
        (None, true) => StatusCode::OK,
    };
    let content = Entry {
        person,
        choices,
        draft,
        wrong: &told.wrong,
        refusal,
        done: told.done.clone(),
        running: &running,
        look: told.look,
    }
    .markup();
    let title = match (told.look, draft.values.filled("corrects")) {
        (true, _) => "Look the ticket over",
        (_, Some(_)) => "Correct a ticket",
        (false, None) => "Enter a ticket",
    };
    // A look at the whole ticket is a page of the service; the script has one of its own.
    let scripts: &[&str] = if told.look { &[] } else { SCRIPTS };
    Ok(Page { title, person: Some(person), here: Some(Place::Yard), scripts, content }.answer(status))
}

/// The running scale under the terms of the day that the ticket says.
async fn running_of(
    person: &Person,
    choices: &Choices,
    draft: &Draft,
) -> Result<Vec<running::ContractRunning>, Trouble> {
    if draft.sticks.is_empty() {
        return Ok(Vec::new());
    }
    // What cannot be read yet, such as a day half typed, has no running scale; posting it says what is wrong.
    let pieces: Option<Vec<scaling::Piece>> = serde_json::from_value(draft.sticks.clone().into()).ok();
    let work: Option<Vec<WorkEntry>> = serde_json::from_value(draft.work_entries().into()).ok();
    let (Some(pieces), Some(work), Some(job)) =
        (pieces, work, choices.job_of(draft.values.get("landing_id")))
    else {
        return Ok(Vec::new());
    };
    let day = draft.values.get("scaled_on").parse().unwrap_or(choices.today);
    let mill = draft.values.filled("delivered_to").and_then(|mill| mill.parse().ok());
    let practices = person.service.list_practices(job, Some(day)).await?;
    Ok(running::scaled(&pieces, &work, mill, &practices))
}
