//! What goes wrong, and the page that says so: what was wrong, where, and what to do.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::{HttpRequest, HttpResponse, ResponseError};
use client::{ClientError, SetupError};
use maud::{Markup, html};
use wire::Problem;

use crate::page::{Page, query};
use crate::session::cookie;
use crate::session::person::Person;

/// Why there is no page, or nothing was done.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// Nobody is signed in, or the sign-in is over.
    #[error("sign in first")]
    SignInFirst {
        /// Where they were going.
        next: String,
    },
    /// The service refused it, or did not answer.
    #[error(transparent)]
    Service(ClientError),
    /// The form cannot be read, or the address.
    #[error("{0}")]
    Unreadable(String),
    /// The form was not sent from a page of this desk, or from a page of another session.
    #[error("this form was not sent from a page of yours")]
    NotFromHere,
    /// Somebody of this role reads it, but files nothing here.
    #[error("this is not for your role")]
    MayNotFile,
    /// Nothing is at this address.
    #[error("there is no such page")]
    NoSuchPage,
    /// A fault of ours.
    #[error("{0}")]
    Internal(String),
}

impl Trouble {
    /// A fault of ours.
    #[must_use]
    pub fn internal(says: impl std::fmt::Display) -> Self {
        Self::Internal(says.to_string())
    }

    /// That somebody has to sign in before they get where they were going.
    #[must_use]
    pub fn sign_in_first(request: &HttpRequest) -> Self {
        let next = if request.method().is_safe() { request.uri().to_string() } else { String::new() };
        Self::SignInFirst { next }
    }

    /// The problem document behind it, if there is one.
    #[must_use]
    pub fn problem(&self) -> Option<&Problem> {
        match self {
            Self::Service(ClientError::Refused(problem)) => Some(problem),
            _ => None,
        }
    }
}

impl From<ClientError> for Trouble {
    fn from(error: ClientError) -> Self {
        match &error {
            // The access was revoked or has ended; whoever it was is to sign in again.
            ClientError::Refused(problem) if problem.status == 401 => {
                Self::SignInFirst { next: String::new() }
            }
            _ => Self::Service(error),
        }
    }
}

impl From<SetupError> for Trouble {
    fn from(error: SetupError) -> Self {
        Self::internal(error)
    }
}

impl ResponseError for Trouble {
    fn status_code(&self) -> StatusCode {
        match self {
            Self::SignInFirst { .. } => StatusCode::SEE_OTHER,
            Self::Service(ClientError::Refused(problem)) => {
                StatusCode::from_u16(problem.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
            }
            Self::Service(ClientError::Unreachable(_)) => StatusCode::SERVICE_UNAVAILABLE,
            Self::Service(ClientError::NotUnderstood { .. }) | Self::Internal(_) => {
                StatusCode::INTERNAL_SERVER_ERROR
            }
            Self::Unreadable(_) => StatusCode::BAD_REQUEST,
            Self::NotFromHere | Self::MayNotFile => StatusCode::FORBIDDEN,
            Self::NoSuchPage => StatusCode::NOT_FOUND,
        }
    }
}

/// The answer that says it: the way to sign in, or a page.
#[must_use]
pub fn answer(trouble: &Trouble, person: Option<&Person>) -> HttpResponse {
    if let Trouble::SignInFirst { next } = trouble {
        let mut to = "/desk/sign-in".to_owned();
        if next.starts_with("/desk/") && next != "/desk/" {
            to = format!("{to}?{}", query(&[("next", next)]));
        }
        return HttpResponse::SeeOther().insert_header((LOCATION, to)).cookie(cookie::no_session()).finish();
    }
    let status = trouble.status_code();
    if status.is_server_error() {
        tracing::error!(error = %trouble, "a page could not be made");
    }
    let (title, content) = told(trouble);
    Page { title: &title, person, here: None, scripts: &[], content }.answer(status)
}

fn told(trouble: &Trouble) -> (String, Markup) {
    match trouble {
        Trouble::Service(ClientError::Refused(problem)) => (problem.title.clone(), refused(problem)),
        Trouble::Service(ClientError::Unreachable(_)) => say(
            "The service does not answer",
            "Nothing was kept. Wait a moment, go back and send it again: what was done already is not done twice.",
        ),
        Trouble::Unreadable(says) => {
            say("This cannot be read", &format!("{says}. Nothing was kept; go back and look at it again."))
        }
        Trouble::NotFromHere => say(
            "This form was not sent from a page of yours",
            "Nothing was kept. You may have signed in again since the page was opened: go back, load the page anew and send \
the form from there.",
        ),
        Trouble::MayNotFile => say(
            "This is not for your role",
            "Whoever keeps the books files it: a bookkeeper or the manager. You can read what is filed.",
        ),
        Trouble::NoSuchPage => say("There is no such page", "Go on from one of the places named above."),
        Trouble::Service(_) | Trouble::Internal(_) | Trouble::SignInFirst { .. } => say(
            "The fault is ours",
            "Nothing was kept. It stands in the service's log; whoever runs the service can look into it.",
        ),
    }
}

fn say(title: &str, says: &str) -> (String, Markup) {
    (title.to_owned(), html! { p role="alert" { (says) } })
}

/// A refusal of the service in full, as every page shows it.
#[must_use]
pub fn refused(problem: &Problem) -> Markup {
    html! {
        div.refusal role="alert" {
            p { strong { (problem.title) "." } " " (problem.detail) }
            @if !problem.errors.is_empty() {
                ul { @for one in &problem.errors { li { @if !one.pointer.is_empty() { code { (one.pointer) } ": " } (one.detail) } } }
            }
            p { (problem.advice) }
            @if let Some(id) = &problem.request_id { p.small { "Request " (id) } }
        }
    }
}
