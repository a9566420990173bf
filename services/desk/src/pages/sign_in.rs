//! Signing in.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Bytes, Data, Query};
use actix_web::{HttpRequest, HttpResponse, get, post};
use client::ClientError;
use maud::{Markup, html};
use serde::Deserialize;
use wire::{AccountName, Secret, SignInCreate};

use super::door;
use crate::desk::Desk;
use crate::form::{must_come_from_here, read};
use crate::mount::session_cookie;
use crate::page::Page;
use crate::session::person::came_from;
use crate::session::{Session, cookie};
use crate::trouble::{Trouble, refused};

/// Where somebody was going, and what is known of them.
#[derive(Debug, Default, Deserialize)]
pub struct Going {
    /// An address of the desk.
    #[serde(default)]
    next: String,
    /// The outfit's id.
    #[serde(default)]
    outfit: String,
    /// The name to sign in with.
    #[serde(default)]
    name: String,
    /// Said when the password has just been set.
    #[serde(default)]
    set: String,
}

/// What is filled in.
#[derive(Debug, Default, Deserialize)]
pub struct Filled {
    outfit: String,
    name: String,
    password: String,
    #[serde(default)]
    next: String,
    #[serde(default)]
    door: String,
}

/// The form for signing in.
///
/// # Errors
///
/// None.
#[get("/sign-in")]
pub async fn show(
    request: HttpRequest,
    desk: Data<Desk>,
    going: Query<Going>,
) -> Result<HttpResponse, Trouble> {
    let known = request.cookie(cookie::OUTFIT).map(|cookie| cookie.value().to_owned());
    let Going { next, outfit, name, set } = going.into_inner();
    let outfit = if outfit.is_empty() { known.unwrap_or_default() } else { outfit };
    let filled = Filled { outfit, name, next, ..Filled::default() };
    let said =
        (!set.is_empty()).then(|| html! { p.done role="status" { "The password is set. Sign in with it." } });
    Ok(form(&request, &desk, &filled, said, StatusCode::OK))
}

/// Signs in.
///
/// # Errors
///
/// [`Trouble`] when the service does not answer; what it refuses is said above the form.
#[post("/sign-in")]
pub async fn begin(request: HttpRequest, desk: Data<Desk>, body: Bytes) -> Result<HttpResponse, Trouble> {
    must_come_from_here(&request)?;
    let filled: Filled = read(&body)?;
    if let Err(said) = door::shown(&request, &filled.door)? {
        return Ok(form(&request, &desk, &filled, Some(said), StatusCode::FORBIDDEN));
    }
    let asked = match asked(&filled) {
        Ok(asked) => asked,
        Err(says) => {
            let said = html! { p role="alert" { (says) } };
            return Ok(form(&request, &desk, &filled, Some(said), StatusCode::BAD_REQUEST));
        }
    };
    let from = came_from(&request)?;
    let signed_in = match desk.for_nobody(from)?.sign_in(&asked).await {
        Ok(signed_in) => signed_in,
        Err(ClientError::Refused(problem)) => {
            let status = StatusCode::from_u16(problem.status).unwrap_or(StatusCode::UNAUTHORIZED);
            return Ok(form(&request, &desk, &filled, Some(refused(&problem)), status));
        }
        Err(error) => return Err(error.into()),
    };
    let service = desk.with_token(from, signed_in.access_token.reveal())?;
    let outfit_name = service.show_outfit().await?.name;
    let session = Session { signed_in, outfit_name, form_key: desk.random() };
    let to = if is_of_the_desk(&filled.next) { filled.next.as_str() } else { "/desk" };
    let mut gone = cookie::door(String::new());
    gone.make_removal();
    Ok(HttpResponse::SeeOther()
        .insert_header((LOCATION, to))
        .cookie(session_cookie(&request, &session)?)
        .cookie(cookie::outfit(session.signed_in.outfit_id.to_string()))
        .cookie(gone)
        .finish())
}

/// Whether an address leads to the desk and nowhere else.
fn is_of_the_desk(address: &str) -> bool {
    address.starts_with("/desk/") && !address.contains(['\\', '\r', '\n']) && !address.contains("//")
}

fn asked(filled: &Filled) -> Result<SignInCreate, String> {
    let outfit_id = filled.outfit.trim().parse().map_err(|_| {
        "The outfit's id is not complete: it is five groups of letters and digits, as whoever set the outfit up was told it."
    })?;
    let name =
        AccountName::try_from(filled.name.trim().to_owned()).map_err(|error| format!("Name: {error}."))?;
    let password =
        Secret::try_from(filled.password.clone()).map_err(|error| format!("Password: {error}."))?;
    Ok(SignInCreate { outfit_id, name, password })
}

fn form(
    request: &HttpRequest,
    desk: &Desk,
    filled: &Filled,
    said: Option<Markup>,
    status: StatusCode,
) -> HttpResponse {
    let door = door::value(request, desk);
    let content = html! {
        @if let Some(said) = said { (said) }
        form.narrow method="post" action="/desk/sign-in" {
            input type="hidden" name="door" value=(door);
            input type="hidden" name="next" value=(filled.next);
            label for="outfit" { "Outfit" }
            input id="outfit" name="outfit" value=(filled.outfit) required autocomplete="organization"
                spellcheck="false" autocapitalize="none" aria-describedby="outfit-help";
            p.help id="outfit-help" { "Its id, as it was given when its books were opened. This browser remembers it." }
            label for="name" { "Name" }
            input id="name" name="name" value=(filled.name) required autocomplete="username" spellcheck="false"
                autocapitalize="none";
            label for="password" { "Password" }
            input id="password" name="password" type="password" required autocomplete="current-password";
            button type="submit" { "Sign in" }
        }
    };
    let page = Page { title: "Sign in", person: None, here: None, scripts: &[], content };
    door::keep(page.answer(status), door)
}
