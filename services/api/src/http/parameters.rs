//! Values in the path and the query, of exactly the form an operation takes.

use std::future::{Ready, ready};

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest, web};
use jiff::civil::Date;
use serde::de::DeserializeOwned;
use wire::{Code, Name};

use super::query::read;
use super::refusal::Refusal;

/// The values in the path.
#[derive(Debug)]
pub struct InPath<T>(pub T);

impl<T: DeserializeOwned + 'static> FromRequest for InPath<T> {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let read = web::Path::<T>::from_request(request, payload).into_inner();
        ready(read.map(|path| Self(path.into_inner())).map_err(|_| {
            Refusal::new(
                Code::WrongAddress,
                "a part of the path is not of its form: an id, a number or a code",
            )
        }))
    }
}

/// The values in the query.
#[derive(Debug)]
pub struct InQuery<T>(pub T);

impl<T: DeserializeOwned + 'static> FromRequest for InQuery<T> {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(read(request.query_string()).map(Self))
    }
}

/// Refuses a span of days that ends before it begins.
///
/// # Errors
///
/// [`Code::WrongAddress`].
pub fn check_span(from: Option<Date>, to: Option<Date>) -> Result<(), Refusal> {
    match (from, to) {
        (Some(from), Some(to)) if from > to => Err(Refusal::new(
            Code::WrongAddress,
            format!("`from` is {from}, later than `to`, {to}: exchange them"),
        )),
        _ => Ok(()),
    }
}

/// A name to look for, of the form that names have.
///
/// # Errors
///
/// [`Code::WrongAddress`].
pub fn name_if_any(parameter: &str, asked: Option<&String>) -> Result<Option<String>, Refusal> {
    let name = asked.cloned().map(Name::try_from).transpose();
    let name = name.map_err(|error| Refusal::new(Code::WrongAddress, format!("`{parameter}`: {error}")))?;
    Ok(name.map(String::from))
}
