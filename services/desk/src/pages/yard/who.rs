//! Tells the yard's script whose session this is, so that tickets are never sent in another's name.

use actix_web::{HttpRequest, HttpResponse, get};
use serde_json::json;

use crate::form::must_come_from_here;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Outfit, person, and the key of the session's forms.
///
/// # Errors
///
/// [`Trouble::NotFromHere`] for what another site asks.
#[get("/yard/who")]
pub async fn show(request: HttpRequest, person: Person) -> Result<HttpResponse, Trouble> {
    must_come_from_here(&request)?;
    Ok(HttpResponse::Ok().json(json!({"owner": person.owner(), "form_key": person.session.form_key})))
}
