//! Values in the path and the query, of exactly the form an operation takes.

use std::future::{Ready, ready};

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest, web};
use jiff::civil::Date;
use kernel::Id;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use storage::Page;
use utoipa::IntoParams;
use wire::{Code, Listing};

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

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let read = web::Query::<T>::from_request(request, payload).into_inner();
        ready(
            read.map(|query| Self(query.into_inner()))
                .map_err(|error| Refusal::new(Code::WrongAddress, format!("the query: {error}"))),
        )
    }
}

/// The largest page.
const LARGEST_PAGE: u16 = 500;

/// Which page of a list.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct PageQuery {
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<uuid::Uuid>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

impl PageQuery {
    /// The page to read.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a limit out of range.
    pub fn page<I: Id>(&self) -> Result<Page<I>, Refusal> {
        page(self.after, self.limit)
    }
}

/// The page to read.
///
/// # Errors
///
/// [`Code::WrongAddress`] for a limit out of range.
pub fn page<I: Id>(after: Option<uuid::Uuid>, limit: Option<u16>) -> Result<Page<I>, Refusal> {
    let limit = limit.unwrap_or(100);
    if limit == 0 || limit > LARGEST_PAGE {
        let says = format!("`limit` is {limit}: write a number from 1 to {LARGEST_PAGE}");
        return Err(Refusal::new(Code::WrongAddress, says));
    }
    Ok(Page { after: after.map(I::from_uuid), limit })
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

/// A page of a list as it is answered: a full page names where the next one begins.
pub fn listing<T, I: Id + std::fmt::Display>(
    page: Page<I>,
    items: Vec<T>,
    id: impl Fn(&T) -> I,
) -> Listing<T> {
    let full = items.len() == usize::from(page.limit);
    let next = items.last().filter(|_| full).map(|last| id(last).to_string());
    Listing { items, next }
}
