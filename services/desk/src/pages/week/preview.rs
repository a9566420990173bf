//! Drafting the week anew.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, post};
use client::ClientError;
use jiff::civil::Date;
use serde::Deserialize;
use wire::SettlementCreate;

use super::held_up::Typed;
use super::show::{Said, page};
use crate::desk::Desk;
use crate::form::Sent;
use crate::trouble::{Trouble, refused};

/// The form.
#[derive(Debug, Deserialize)]
pub struct Draft {
    once: String,
}

/// Drafts it, and leads back to its page.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is said on the week's page.
#[post("/week/{week}/preview")]
pub async fn draft(sent: Sent<Draft>, desk: Data<Desk>, week: Path<Date>) -> Result<HttpResponse, Trouble> {
    let drafting = SettlementCreate { week_ends_on: *week, whole_history: false };
    match sent.person.filing(&sent.form.once).draft_settlement(&drafting).await {
        Ok(_) => {
            let to = format!("/desk/week/{}", *week);
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) if problem.status == 422 || problem.status == 409 => {
            let status = StatusCode::from_u16(problem.status).map_err(Trouble::internal)?;
            page(
                &sent.person,
                &desk,
                *week,
                Said { markup: refused(&problem), typed: Typed::default(), status },
            )
            .await
        }
        Err(error) => Err(error.into()),
    }
}
