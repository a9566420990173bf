//! The running scale for the page's script, while there is signal.

use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::civil::Date;
use kernel::{JobId, MillId};
use serde::Deserialize;
use serde_json::{Value, json};
use wire::WorkEntry;

use super::choices::today;
use super::running;
use crate::desk::Desk;
use crate::form::SentByScript;
use crate::trouble::Trouble;

/// A ticket so far.
#[derive(Debug, Deserialize)]
pub struct SoFar {
    job_id: JobId,
    #[serde(default)]
    scaled_on: Option<Date>,
    #[serde(default)]
    work: Vec<WorkEntry>,
    #[serde(default)]
    delivered_to: Option<MillId>,
    pieces: Vec<Value>,
}

/// What every contract makes of it, or what is wrong with the first stick that is none.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[post("/yard/scale")]
pub async fn show(desk: Data<Desk>, sent: SentByScript<SoFar>) -> Result<HttpResponse, Trouble> {
    let SentByScript { person, body } = sent;
    let mut pieces = Vec::new();
    for (place, document) in (1..).zip(body.pieces) {
        match serde_json::from_value(document) {
            Ok(piece) => pieces.push(piece),
            Err(error) => {
                let wrong = json!({"piece": place, "says": error.to_string()});
                return Ok(HttpResponse::Ok().json(json!({"wrong": wrong, "contracts": []})));
            }
        }
    }
    let day = match body.scaled_on {
        Some(day) => day,
        None => today(&desk, &person).await?,
    };
    let practices = person.service.list_practices(body.job_id, Some(day)).await?;
    let contracts = running::scaled(&pieces, &body.work, body.delivered_to, &practices);
    Ok(HttpResponse::Ok().json(json!({"contracts": contracts})))
}
