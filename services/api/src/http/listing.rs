//! Lists: which page and which form is asked for, and the page on its way out.

use std::future::{Ready, ready};

use actix_web::body::BoxBody;
use actix_web::dev::Payload;
use actix_web::http::header::{ACCEPT, CONTENT_TYPE, LINK, VARY};
use actix_web::{FromRequest, HttpRequest, HttpResponse, Responder};
use kernel::Id;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use storage::Page;
use utoipa::IntoParams;
use wire::{Code, Columns, ListFormat, Listing};

use super::accepting::preferred;
use super::comma_separated::{self, comma_separated};
use super::cursor::ListMark;
use super::query::{Query, encoded, read};
use super::refusal::Refusal;

/// The largest page.
const LARGEST_PAGE: u16 = 500;
/// The size of a page when nobody says.
const USUAL_PAGE: u16 = 100;

/// Which page of a list, and in which form.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct PageQuery {
    /// The `next` of the page before; left out for the first page. Good for the same list with the same filters.
    after: Option<String>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
    /// In which form: `json` or `csv`. When it is left out the header `Accept` decides; JSON if that does not either.
    #[param(inline)]
    format: Option<ListFormat>,
}

/// In which form a list without pages is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FormatQuery {
    /// In which form: `json` or `csv`. When it is left out the header `Accept` decides; JSON if that does not either.
    #[param(inline)]
    format: Option<ListFormat>,
}

/// For lists that have no filter.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoFilter {}

/// A list that is asked for: its filters, and which page of it in which form.
#[derive(Debug)]
pub struct InList<F> {
    /// The filters.
    pub filter: F,
    path: String,
    /// Everything that was asked but the place to begin at.
    asked: Vec<(String, String)>,
    mark: ListMark,
    key: Option<Vec<u8>>,
    limit: u16,
    format: ListFormat,
}

impl<F: DeserializeOwned + 'static> FromRequest for InList<F> {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(Self::read(request))
    }
}

impl<F: DeserializeOwned> InList<F> {
    fn read(request: &HttpRequest) -> Result<Self, Refusal> {
        let query = Query::split(request.query_string(), &["after", "limit", "format"])?;
        let page: PageQuery = read(&query.set_apart)?;
        let filter = read(&query.rest)?;
        let path = request.path().to_owned();
        let mark = ListMark::new(&path, &query.rest_pairs()?);
        let limit = page.limit.unwrap_or(USUAL_PAGE);
        if limit == 0 || limit > LARGEST_PAGE {
            let says = format!("`limit` is {limit}: write a number from 1 to {LARGEST_PAGE}");
            return Err(Refusal::new(Code::WrongAddress, says));
        }
        let key = page.after.map(|cursor| mark.key(&cursor).ok_or_else(not_of_this_list)).transpose()?;
        let mut asked = query.pairs()?;
        asked.retain(|(name, _)| name != "after");
        Ok(Self { filter, path, asked, mark, key, limit, format: format_of(request, page.format) })
    }
}

fn not_of_this_list() -> Refusal {
    let says = "`after` is no `next` of this list with these filters: ask for the first page without it";
    Refusal::new(Code::WrongAddress, says)
}

impl<F> InList<F> {
    /// The page to read of a list whose places are ids.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a cursor that holds no id.
    pub fn page<I: Id>(&self) -> Result<Page<I>, Refusal> {
        let id = self.key.as_deref().map(uuid::Uuid::from_slice).transpose();
        let id = id.map_err(|_| not_of_this_list())?;
        Ok(Page { after: id.map(I::from_uuid), limit: self.limit })
    }

    /// The page to read of a list whose places are texts: the text it begins after, and how many.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a cursor that holds no text.
    pub fn page_by_text(&self) -> Result<(Option<String>, u16), Refusal> {
        let text = self.key.clone().map(String::from_utf8).transpose();
        Ok((text.map_err(|_| not_of_this_list())?, self.limit))
    }

    /// The page as it is answered, the items' places being ids: a full page names where the next one begins.
    pub fn answer<T, I: Id>(&self, items: Vec<T>, id: impl Fn(&T) -> I) -> Shown<Listing<T>> {
        self.answer_by(items, |item| id(item).uuid().into_bytes().to_vec())
    }

    /// The same, each item's place being the id beside it, which is not shown.
    pub fn answer_beside<T, I: Id>(&self, items: Vec<(I, T)>) -> Shown<Listing<T>> {
        let last = items.last().map(|(id, _)| id.uuid().into_bytes().to_vec());
        self.finish(items.into_iter().map(|(_, item)| item).collect(), last)
    }

    /// The same, each item's place being the text beside it, which is not shown.
    pub fn answer_beside_text<T>(&self, items: Vec<(String, T)>) -> Shown<Listing<T>> {
        let last = items.last().map(|(text, _)| text.clone().into_bytes());
        self.finish(items.into_iter().map(|(_, item)| item).collect(), last)
    }

    /// The same, the items' places being texts.
    pub fn answer_by_text<T>(&self, items: Vec<T>, text: impl Fn(&T) -> String) -> Shown<Listing<T>> {
        self.answer_by(items, |item| text(item).into_bytes())
    }

    fn answer_by<T>(&self, items: Vec<T>, key: impl Fn(&T) -> Vec<u8>) -> Shown<Listing<T>> {
        let last = items.last().map(key);
        self.finish(items, last)
    }

    fn finish<T>(&self, items: Vec<T>, last: Option<Vec<u8>>) -> Shown<Listing<T>> {
        let full = items.len() == usize::from(self.limit);
        let next = last.filter(|_| full).map(|key| self.mark.cursor(&key));
        let mut links = vec![format!("<{}>; rel=\"first\"", self.address(None))];
        if let Some(cursor) = &next {
            links.push(format!("<{}>; rel=\"next\"", self.address(Some(cursor))));
        }
        Shown { view: Listing { items, next }, links: Some(links.join(", ")), format: self.format }
    }

    /// The address of a page of this list, relative to the service's own (RFC 3986, section 4.2).
    fn address(&self, cursor: Option<&str>) -> String {
        let after = cursor.map(|cursor| ("after", cursor));
        let asked = self.asked.iter().map(|(name, value)| (name.as_str(), value.as_str()));
        let pairs: Vec<_> =
            asked.chain(after).map(|(name, value)| format!("{}={}", encoded(name), encoded(value))).collect();
        if pairs.is_empty() { self.path.clone() } else { format!("{}?{}", self.path, pairs.join("&")) }
    }
}

/// A list that comes whole, and in which form it is asked for.
#[derive(Debug)]
pub struct InWhole<F> {
    /// The filters.
    pub filter: F,
    format: ListFormat,
}

impl<F: DeserializeOwned + 'static> FromRequest for InWhole<F> {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(Query::split(request.query_string(), &["format"]).and_then(|query| {
            let asked: FormatQuery = read(&query.set_apart)?;
            Ok(Self { filter: read(&query.rest)?, format: format_of(request, asked.format) })
        }))
    }
}

impl<F> InWhole<F> {
    /// The list as it is answered.
    pub fn answer<V>(&self, view: V) -> Shown<V> {
        Shown { view, links: None, format: self.format }
    }
}

/// The form that was named, or else the one that the caller's program would rather have.
fn format_of(request: &HttpRequest, named: Option<ListFormat>) -> ListFormat {
    named.unwrap_or_else(|| {
        let headers: Vec<_> =
            request.headers().get_all(ACCEPT).filter_map(|value| value.to_str().ok()).collect();
        preferred(&headers.join(","))
    })
}

/// A list in the form it was asked for.
#[derive(Debug)]
pub struct Shown<V> {
    view: V,
    links: Option<String>,
    format: ListFormat,
}

impl<V: Serialize + Columns> Responder for Shown<V> {
    type Body = BoxBody;

    fn respond_to(self, _: &HttpRequest) -> HttpResponse {
        let mut response = HttpResponse::Ok();
        // The same address has two forms.
        response.insert_header((VARY, "Accept"));
        if let Some(links) = self.links {
            response.insert_header((LINK, links));
        }
        match self.format {
            ListFormat::Json => response.json(self.view),
            ListFormat::Csv => match comma_separated(&self.view) {
                Ok(text) => response.insert_header((CONTENT_TYPE, comma_separated::CONTENT_TYPE)).body(text),
                Err(refusal) => HttpResponse::from_error(refusal),
            },
        }
    }
}
