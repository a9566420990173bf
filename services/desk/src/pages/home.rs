//! Where one comes in: each to where their work is.

use actix_web::http::header::LOCATION;
use actix_web::{HttpResponse, get};

use crate::page::Place;
use crate::session::person::Person;

/// Leads to the place that somebody of this role has most to do in.
#[get("")]
pub async fn show(person: Person) -> HttpResponse {
    let first = Place::of(person.role()).first().map_or("/desk/sign-in", |place| place.address());
    HttpResponse::SeeOther().insert_header((LOCATION, first)).finish()
}
