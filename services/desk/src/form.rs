//! What a form sends, and that it was sent from a page of ours.

use actix_web::dev::Payload;
use actix_web::http::header::ORIGIN;
use actix_web::web::{Bytes, Query};
use actix_web::{FromRequest, HttpRequest};
use futures_util::FutureExt;
use futures_util::future::LocalBoxFuture;
use maud::{Markup, html};
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::session::person::Person;
use crate::trouble::Trouble;

/// The name of the field that shows that a form is of this session's pages.
pub const FIELD: &str = "form_key";
/// The same for what a script sends, as a header.
pub const HEADER: &str = "form-key";

/// A form that was read, and whoever is signed in and sent it.
#[derive(Debug)]
pub struct Sent<T> {
    /// Who sent it.
    pub person: Person,
    /// What it says.
    pub form: T,
}

/// JSON that a script of ours sent, and whoever is signed in and sent it.
#[derive(Debug)]
pub struct SentByScript<T> {
    /// Who sent it.
    pub person: Person,
    /// What it says.
    pub body: T,
}

/// The field that every form of a session's pages carries.
#[must_use]
pub fn key_field(person: &Person) -> Markup {
    html! { input type="hidden" name=(FIELD) value=(person.session.form_key); }
}

#[derive(Deserialize)]
struct Key {
    form_key: String,
}

/// Reads a form (application/x-www-form-urlencoded).
///
/// # Errors
///
/// [`Trouble::Unreadable`] names what is wrong.
pub fn read<T: DeserializeOwned>(body: &Bytes) -> Result<T, Trouble> {
    let unreadable = |says: String| Trouble::Unreadable(says);
    let text = std::str::from_utf8(body).map_err(|_| unreadable("The form is not UTF-8".to_owned()))?;
    Query::<T>::from_query(text).map(Query::into_inner).map_err(|error| unreadable(error.to_string()))
}

/// Whether a request comes from a page of this host, as far as the browser says. Browsers that say nothing are let
/// through here; the key decides.
///
/// # Errors
///
/// [`Trouble::NotFromHere`].
pub fn must_come_from_here(request: &HttpRequest) -> Result<(), Trouble> {
    let said = |name: &str| request.headers().get(name).and_then(|value| value.to_str().ok());
    let site = said("sec-fetch-site").is_none_or(|site| matches!(site, "same-origin" | "none"));
    let host = request.connection_info().host().to_owned();
    let origin = said(ORIGIN.as_str()).is_none_or(|origin| {
        origin.split_once("://").is_some_and(|(_, named)| named.eq_ignore_ascii_case(&host))
    });
    if site && origin { Ok(()) } else { Err(Trouble::NotFromHere) }
}

/// Compares without telling by the time it takes how much was right.
#[must_use]
pub fn same(left: &str, right: &str) -> bool {
    aws_lc_rs::constant_time::verify_slices_are_equal(left.as_bytes(), right.as_bytes()).is_ok()
}

impl<T: DeserializeOwned + 'static> FromRequest for Sent<T> {
    type Error = actix_web::Error;
    type Future = LocalBoxFuture<'static, Result<Self, Self::Error>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let request = request.clone();
        let body = Bytes::from_request(&request, payload);
        async move {
            must_come_from_here(&request)?;
            let person = Person::from_request(&request, &mut Payload::None).await?;
            let body = body.await.map_err(|error| Trouble::Unreadable(error.to_string()))?;
            let key: Key = read(&body).map_err(|_| Trouble::NotFromHere)?;
            if !same(&key.form_key, &person.session.form_key) {
                return Err(Trouble::NotFromHere.into());
            }
            Ok(Self { person, form: read(&body)? })
        }
        .boxed_local()
    }
}

impl<T: DeserializeOwned + 'static> FromRequest for SentByScript<T> {
    type Error = actix_web::Error;
    type Future = LocalBoxFuture<'static, Result<Self, Self::Error>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let request = request.clone();
        let body = Bytes::from_request(&request, payload);
        async move {
            must_come_from_here(&request)?;
            let person = Person::from_request(&request, &mut Payload::None).await?;
            let key = request.headers().get(HEADER).and_then(|value| value.to_str().ok()).unwrap_or_default();
            if !same(key, &person.session.form_key) {
                return Err(Trouble::NotFromHere.into());
            }
            let body = body.await.map_err(|error| Trouble::Unreadable(error.to_string()))?;
            let body =
                serde_json::from_slice(&body).map_err(|error| Trouble::Unreadable(error.to_string()))?;
            Ok(Self { person, body })
        }
        .boxed_local()
    }
}
