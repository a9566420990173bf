//! Whoever is signed in, as a page's handler finds them.

use std::sync::Arc;

use actix_web::dev::Payload;
use actix_web::web::Data;
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use client::{Client, ClientError};
use futures_util::FutureExt;
use futures_util::future::LocalBoxFuture;
use kernel::Entropy;
use wire::{RefreshTokenSent, Role};

use super::{Session, cookie};
use crate::desk::{CameFrom, Desk};
use crate::trouble::Trouble;

/// A session whose tokens were exchanged for the next ones: the answer brings its cookie along.
#[derive(Clone, Debug)]
pub struct Renewed(pub Session);

/// Whoever is signed in, and their way to the service.
#[derive(Clone, Debug)]
pub struct Person {
    /// Their session.
    pub session: Arc<Session>,
    /// The service, asked with their own token.
    pub service: Client,
}

impl Person {
    /// What they may do.
    #[must_use]
    pub fn role(&self) -> Role {
        self.session.role()
    }

    /// Whether they keep the books: file, settle, post.
    #[must_use]
    pub fn keeps_books(&self) -> bool {
        matches!(self.role(), Role::Bookkeeper | Role::Manager)
    }

    /// Whether they may post tickets.
    #[must_use]
    pub fn works_in_yard(&self) -> bool {
        matches!(self.role(), Role::Scaler | Role::Bookkeeper | Role::Manager)
    }

    /// Outfit and person, by which a browser keeps apart whose tickets wait on it.
    #[must_use]
    pub fn owner(&self) -> String {
        format!("{}/{}", self.session.signed_in.outfit_id, self.session.signed_in.subject)
    }

    /// Their way to the service for one filing: however often the form is sent, it carries the same key and is done
    /// once. `once` is what [`Desk::random`] made for the form.
    #[must_use]
    pub fn filing(&self, once: &str) -> Client {
        self.service.clone().with_entropy(Arc::new(OneKey(once.to_owned())))
    }
}

/// Random bytes that are not: the ones of a form, grown from its text.
struct OneKey(String);

impl Entropy for OneKey {
    fn fill(&self, bytes: &mut [u8]) {
        use sha2::{Digest, Sha256};
        let grown = Sha256::digest(self.0.as_bytes());
        bytes.fill(0);
        bytes.iter_mut().zip(grown).for_each(|(byte, known)| *byte = known);
    }
}

impl FromRequest for Person {
    type Error = actix_web::Error;
    type Future = LocalBoxFuture<'static, Result<Self, Self::Error>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        async move { Ok(known(&request).await?) }.boxed_local()
    }
}

/// The desk that serves a request.
///
/// # Errors
///
/// [`Trouble::Internal`] when there is none, which is a fault of ours.
pub fn desk(request: &HttpRequest) -> Result<Data<Desk>, Trouble> {
    let found = request.app_data::<Data<Desk>>().cloned();
    found.ok_or_else(|| Trouble::internal("the desk is not attached to the application"))
}

/// Where a request came from.
///
/// # Errors
///
/// [`Trouble::Internal`] when nobody has made it out, which is a fault of ours.
pub fn came_from(request: &HttpRequest) -> Result<CameFrom, Trouble> {
    let found = request.extensions().get::<CameFrom>().copied();
    found.ok_or_else(|| Trouble::internal("nobody has made out where the request came from"))
}

async fn known(request: &HttpRequest) -> Result<Person, Trouble> {
    if let Some(person) = request.extensions().get::<Person>() {
        return Ok(person.clone());
    }
    let desk = desk(request)?;
    let from = came_from(request)?;
    let first = || Trouble::sign_in_first(request);
    let sealed = request.cookie(cookie::SESSION).ok_or_else(first)?;
    let text = desk.key.open(sealed.value()).ok_or_else(first)?;
    let mut session: Session = serde_json::from_str(&text).map_err(|_| first())?;
    if session.is_stale(desk.now()) {
        let sent = RefreshTokenSent { refresh_token: session.signed_in.refresh_token.clone() };
        match desk.for_nobody(from)?.refresh_sign_in(&sent).await {
            Ok(next) => session.signed_in = next,
            // The sign-in is over: by time, by the manager, or because the token was used elsewhere.
            Err(ClientError::Refused(problem)) if problem.status == 401 => return Err(first()),
            Err(error) => return Err(error.into()),
        }
        request.extensions_mut().insert(Renewed(session.clone()));
    }
    let service = desk.with_token(from, session.signed_in.access_token.reveal())?;
    let person = Person { session: Arc::new(session), service };
    request.extensions_mut().insert(person.clone());
    Ok(person)
}
