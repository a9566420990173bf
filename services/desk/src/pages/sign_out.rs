//! Signing out.

use actix_web::http::header::LOCATION;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, post};
use serde::Deserialize;
use wire::RefreshTokenSent;

use crate::desk::Desk;
use crate::form::Sent;
use crate::session::cookie;
use crate::session::person::came_from;
use crate::trouble::Trouble;

/// The form has nothing but its key.
#[derive(Debug, Deserialize)]
pub struct Nothing {}

/// Ends the sign-in at the service and takes the cookie away.
///
/// # Errors
///
/// [`Trouble`]; then the sign-in still stands.
#[post("/sign-out")]
pub async fn end(
    request: HttpRequest,
    desk: Data<Desk>,
    sent: Sent<Nothing>,
) -> Result<HttpResponse, Trouble> {
    let token = RefreshTokenSent { refresh_token: sent.person.session.signed_in.refresh_token.clone() };
    desk.for_nobody(came_from(&request)?)?.sign_out(&token).await?;
    Ok(HttpResponse::SeeOther()
        .insert_header((LOCATION, "/desk/sign-in"))
        .cookie(cookie::no_session())
        .finish())
}
