//! What the forms before signing in have in place of a session's key: a random value, in the form and in a cookie.

use actix_web::{HttpRequest, HttpResponse};
use maud::{Markup, html};

use crate::desk::Desk;
use crate::form::same;
use crate::session::cookie;
use crate::trouble::Trouble;

/// The value for a form: the one that the browser has already, so that two pages may be open, or a new one.
pub(super) fn value(request: &HttpRequest, desk: &Desk) -> String {
    let known = request.cookie(cookie::DOOR).map(|cookie| cookie.value().to_owned());
    known.filter(|value| !value.is_empty()).unwrap_or_else(|| desk.random())
}

/// The page with the value's cookie.
pub(super) fn keep(mut page: HttpResponse, value: String) -> HttpResponse {
    // A cookie that cannot be set leaves the form useless, and the next page says why.
    let _told = page.add_cookie(&cookie::door(value));
    page
}

/// Holds what a form says against the cookie; what is to be said above the form when the browser kept none.
///
/// # Errors
///
/// [`Trouble::NotFromHere`] when they differ.
pub(super) fn shown(request: &HttpRequest, said: &str) -> Result<Result<(), Markup>, Trouble> {
    match request.cookie(cookie::DOOR) {
        None => Ok(Err(no_cookies())),
        Some(kept) if same(kept.value(), said) => Ok(Ok(())),
        Some(_) => Err(Trouble::NotFromHere),
    }
}

fn no_cookies() -> Markup {
    html! {
        p role="alert" {
            "Your browser did not keep the cookie of this page, and without it nobody can stay signed in. Cookies are kept only when \
    the address begins with https:// or is that of this very machine. Ask whoever runs the service for its https address."
        }
    }
}
