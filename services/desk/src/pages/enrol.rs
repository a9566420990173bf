//! Setting a password with the code that the manager handed over.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Bytes, Data, Query};
use actix_web::{HttpRequest, HttpResponse, get, post};
use client::ClientError;
use kernel::{AccountId, OutfitId};
use maud::{Markup, html};
use serde::Deserialize;
use wire::{NewPassword, PasswordCreate, Secret};

use super::door;
use crate::desk::Desk;
use crate::form::{must_come_from_here, read};
use crate::mount;
use crate::page::Page;
use crate::session::person::came_from;
use crate::trouble::{Trouble, refused};

/// Whose password it is, as the link says.
#[derive(Debug, Default, Deserialize)]
pub struct Whose {
    /// The outfit's id.
    #[serde(default)]
    outfit: String,
    /// The account's id.
    #[serde(default)]
    account: String,
}

/// What is filled in.
#[derive(Debug, Default, Deserialize)]
pub struct Filled {
    outfit: String,
    account: String,
    code: String,
    password: String,
    #[serde(default)]
    door: String,
}

/// The form for a password.
///
/// # Errors
///
/// None.
#[get("/enrol")]
pub async fn show(
    request: HttpRequest,
    desk: Data<Desk>,
    whose: Query<Whose>,
) -> Result<HttpResponse, Trouble> {
    let Whose { outfit, account } = whose.into_inner();
    let filled = Filled { outfit, account, ..Filled::default() };
    Ok(form(&request, &desk, &filled, None, StatusCode::OK))
}

/// Sets it, and leads to the page for signing in.
///
/// # Errors
///
/// [`Trouble`] when the service does not answer; what it refuses is said above the form.
#[post("/enrol")]
pub async fn set(request: HttpRequest, desk: Data<Desk>, body: Bytes) -> Result<HttpResponse, Trouble> {
    must_come_from_here(&request)?;
    let filled: Filled = read(&body)?;
    if let Err(said) = door::shown(&request, &filled.door)? {
        return Ok(form(&request, &desk, &filled, Some(said), StatusCode::FORBIDDEN));
    }
    let (account, asked) = match asked(&filled) {
        Ok(asked) => asked,
        Err(says) => {
            let said = html! { p role="alert" { (says) } };
            return Ok(form(&request, &desk, &filled, Some(said), StatusCode::BAD_REQUEST));
        }
    };
    match desk.for_nobody(came_from(&request)?)?.set_password(account, &asked).await {
        Ok(set) => {
            let to = format!("{}&name={}&set=yes", mount::sign_in(asked.outfit_id), set.name);
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) => {
            let status = StatusCode::from_u16(problem.status).unwrap_or(StatusCode::BAD_REQUEST);
            Ok(form(&request, &desk, &filled, Some(refused(&problem)), status))
        }
        Err(error) => Err(error.into()),
    }
}

fn asked(filled: &Filled) -> Result<(AccountId, PasswordCreate), String> {
    let incomplete =
        |what: &str| format!("{what}'s id is not complete: use the link as it was given to you.");
    let outfit_id: OutfitId = filled.outfit.trim().parse().map_err(|_| incomplete("The outfit"))?;
    let account: AccountId = filled.account.trim().parse().map_err(|_| incomplete("The account"))?;
    let enrolment_code =
        Secret::try_from(filled.code.trim().to_owned()).map_err(|error| format!("Code: {error}."))?;
    let password =
        NewPassword::try_from(filled.password.clone()).map_err(|error| format!("Password: {error}."))?;
    Ok((account, PasswordCreate { outfit_id, enrolment_code, password }))
}

fn form(
    request: &HttpRequest,
    desk: &Desk,
    filled: &Filled,
    said: Option<Markup>,
    status: StatusCode,
) -> HttpResponse {
    let door = door::value(request, desk);
    let given = |id: &str| !id.is_empty();
    let content = html! {
        @if let Some(said) = said { (said) }
        p { "With the code that whoever runs the outfit handed to you. It is good once; whoever was signed in with the account is \
    signed out." }
        form.narrow method="post" action="/desk/enrol" {
            input type="hidden" name="door" value=(door);
            label for="outfit" { "Outfit" }
            input id="outfit" name="outfit" value=(filled.outfit) required readonly[given(&filled.outfit)] spellcheck="false"
                autocapitalize="none" autocomplete="off";
            label for="account" { "Account" }
            input id="account" name="account" value=(filled.account) required readonly[given(&filled.account)]
                spellcheck="false" autocapitalize="none" autocomplete="off";
            label for="code" { "Code" }
            input id="code" name="code" required spellcheck="false" autocapitalize="characters"
                autocomplete="one-time-code";
            label for="password" { "New password" }
            input id="password" name="password" type="password" required minlength="12" autocomplete="new-password"
                aria-describedby="password-help";
            p.help id="password-help" {
                "Twelve characters or more. A few words that nobody else would put together are good."
            }
            button type="submit" { "Set the password" }
        }
    };
    let page = Page { title: "Set your password", person: None, here: None, scripts: &[], content };
    door::keep(page.answer(status), door)
}
