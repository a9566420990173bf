//! Where the pages are attached, and what every answer of the desk passes.

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::StatusCode;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderValue, REFERRER_POLICY, SET_COOKIE,
};
use actix_web::middleware::{Next, from_fn};
use actix_web::web::{self, Data, ServiceConfig};
use actix_web::{Error, HttpMessage, HttpRequest, HttpResponse};
use kernel::{AccountId, OutfitId};

use crate::desk::Desk;
use crate::page;
use crate::pages;
use crate::session::person::{Person, Renewed};
use crate::session::{Session, cookie};
use crate::trouble::{Trouble, answer};

/// Where the desk begins; every address of it does.
pub const ROOT: &str = "/desk";

/// Whether a path is one of the desk's.
///
/// ```
/// assert!(desk::mount::is_desk("/desk/yard"));
/// assert!(!desk::mount::is_desk("/desktop"));
/// ```
#[must_use]
pub fn is_desk(path: &str) -> bool {
    path.strip_prefix(ROOT).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// The page for signing in to an outfit, as a path.
///
/// ```
/// let outfit: kernel::OutfitId = "0197a000-0000-7000-8000-000000000002".parse()?;
/// assert_eq!(desk::mount::sign_in(outfit), "/desk/sign-in?outfit=0197a000-0000-7000-8000-000000000002");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn sign_in(outfit: OutfitId) -> String {
    format!("{ROOT}/sign-in?outfit={outfit}")
}

/// The page where the owner of an account sets its password with an enrolment code, as a path.
#[must_use]
pub fn enrol(outfit: OutfitId, account: AccountId) -> String {
    format!("{ROOT}/enrol?outfit={outfit}&account={account}")
}

/// Attaches the desk to an application that has a [`Desk`] among its data.
pub fn attach(config: &mut ServiceConfig) {
    let scope = web::scope(ROOT).wrap(from_fn(finish)).configure(pages::attach);
    config.service(scope.default_service(web::to(nothing_here)));
}

/// Whoever is signed in finds the way on from there; whoever is not is told the same.
async fn nothing_here(_known: Option<Person>) -> Result<HttpResponse, Trouble> {
    Err(Trouble::NoSuchPage)
}

/// Makes pages of whatever went wrong, brings renewed sessions along, and says what a browser may do.
async fn finish(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let mut response = match next.call(request).await {
        Ok(response) => response.map_into_boxed_body(),
        // Nothing within the desk answers this way; what does is told by whoever is around it.
        Err(error) => return Err(error),
    };
    if let Some(error) = response.response().error() {
        let (request, page) = (response.request().clone(), told(error, response.request()));
        response = ServiceResponse::new(request, page);
    }
    let renewed = response.request().extensions().get::<Renewed>().cloned();
    if let Some(Renewed(session)) = renewed
        && !response.headers().contains_key(SET_COOKIE)
    {
        let cookie = session_cookie(response.request(), &session);
        if let Ok(cookie) = cookie {
            response.response_mut().add_cookie(&cookie).map_err(Trouble::internal)?;
        }
    }
    let headers = response.headers_mut();
    let mut say = |name, value| {
        if !headers.contains_key(&name) {
            headers.insert(name, HeaderValue::from_static(value));
        }
    };
    say(CONTENT_SECURITY_POLICY, page::CONTENT_SECURITY_POLICY);
    say(REFERRER_POLICY, "same-origin");
    say(CACHE_CONTROL, "no-store");
    Ok(response)
}

/// The page that tells of an error; what is not ours is told by its status.
fn told(error: &Error, request: &HttpRequest) -> HttpResponse {
    let person = request.extensions().get::<Person>().cloned();
    if let Some(trouble) = error.as_error::<Trouble>() {
        return answer(trouble, person.as_ref());
    }
    let trouble = match error.as_response_error().status_code() {
        StatusCode::NOT_FOUND => Trouble::NoSuchPage,
        status if status.is_client_error() => Trouble::Unreadable(error.to_string()),
        _ => Trouble::internal(error),
    };
    answer(&trouble, person.as_ref())
}

/// The cookie that holds a session.
///
/// # Errors
///
/// [`Trouble::Internal`] when it cannot be sealed.
pub fn session_cookie(
    request: &HttpRequest,
    session: &Session,
) -> Result<actix_web::cookie::Cookie<'static>, Trouble> {
    let desk = request
        .app_data::<Data<Desk>>()
        .ok_or_else(|| Trouble::internal("the desk is not attached to the application"))?;
    let text = serde_json::to_string(session).map_err(Trouble::internal)?;
    let sealed = desk.key.seal(&text).map_err(Trouble::internal)?;
    let lasting = session.signed_in.refresh_expires_at.duration_since(desk.now());
    Ok(cookie::session(sealed, lasting.as_secs().max(0)))
}
