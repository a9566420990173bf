//! Takes a ticket from the queue of a phone and hands it on to the service.

use actix_web::http::StatusCode;
use actix_web::{HttpResponse, post};
use client::{ClientError, Posted};
use kernel::TicketId;
use serde::Deserialize;
use serde_json::{Value, json};
use wire::{Code, CorrectionCreate, Problem};

use crate::form::SentByScript;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// A ticket of the queue.
#[derive(Debug, Deserialize)]
pub struct FromQueue {
    /// Outfit and person it was entered by.
    owner: String,
    /// The ticket's document, as the API takes it.
    ticket: Value,
    /// The ticket it corrects.
    #[serde(default)]
    corrects: Option<TicketId>,
    /// What was wrong with that one.
    #[serde(default)]
    reason: Option<String>,
}

/// Posts it. The answer is JSON: what became of it, or the service's problem document as it is.
///
/// # Errors
///
/// [`Trouble`] when nobody is signed in, or the request is not from a page of the session.
#[post("/yard/send")]
pub async fn post(sent: SentByScript<FromQueue>) -> Result<HttpResponse, Trouble> {
    let SentByScript { person, body } = sent;
    if body.owner != person.owner() {
        return Ok(HttpResponse::Conflict().json(json!({"other_person": true})));
    }
    match hand_on(&person, body).await {
        Ok(posted) => Ok(HttpResponse::Ok().json(json!({
            "ticket_id": posted.ticket.ticket_id, "replayed": posted.replayed, "unpriced": posted.ticket.unpriced.len(),
        }))),
        Err(ClientError::Refused(problem)) if problem.status == 401 => {
            Err(ClientError::Refused(problem).into())
        }
        Err(ClientError::Refused(problem)) => Ok(answer(&problem)),
        Err(error) => Err(error.into()),
    }
}

/// A problem document as an answer of its own status.
pub fn answer(problem: &Problem) -> HttpResponse {
    let status = StatusCode::from_u16(problem.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    HttpResponse::build(status).content_type("application/problem+json").json(problem)
}

async fn hand_on(person: &Person, body: FromQueue) -> Result<Posted, ClientError> {
    let FromQueue { ticket, corrects, reason, .. } = body;
    match corrects {
        None => person.service.post_ticket(&of_its_form(ticket)?).await,
        Some(wrong) => {
            let correction: CorrectionCreate = of_its_form(json!({"reason": reason, "ticket": ticket}))?;
            person.service.correct_ticket(wrong, &correction).await
        }
    }
}

/// Reads what the API reads, and says the same of what it cannot read.
fn of_its_form<T: serde::de::DeserializeOwned>(document: Value) -> Result<T, ClientError> {
    serde_json::from_value(document)
        .map_err(|error| ClientError::Refused(Box::new(Problem::new(Code::WrongForm, error.to_string()))))
}
