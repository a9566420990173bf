//! Signs in with a name and a password.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::Timestamp;
use kernel::SignInAttemptId;
use storage::{Account, SignInName};
use tracing_actix_web::RequestId;
use wire::{Code, SignInCreate, SignedIn};

use crate::access::audit::{self, Author};
use crate::access::patience::{DECIDING, locked_until};
use crate::access::{secrets, sessions};
use crate::http::body::Body;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "sign_in",
    method: Method::POST,
    path: "/v1/sign-in",
    access: Access::Open,
    effect: Effect::LetIn,
    refusals: &[Code::SignInRefused, Code::SignInLocked],
};

/// Sign in
///
/// Answers an access token for 15 minutes and a refresh token to get the next one with. After five failures in a row
/// the name has to wait a minute, then two, four and so on up to an hour; a success ends that. A name that is not there
/// is answered like a wrong password.
#[utoipa::path(
    tag = "access",
    operation_id = "sign_in",
    request_body = SignInCreate,
    responses((status = 200, description = "Signed in.", body = SignedIn))
)]
#[post("/v1/sign-in")]
pub async fn handle(
    service: Data<Service>,
    request_id: RequestId,
    body: Body<SignInCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let begun = begin(&service, &sent).await?;
    let kept = begun.candidate.as_ref().and_then(|candidate| candidate.phc.clone());
    // Looked at in any case, so that the time it takes does not tell whether there is such an account.
    let right = service.passwords.check(sent.password.reveal(), kept).await?;
    let Some(candidate) = begun.candidate.filter(|_| right) else { return Err(refused()) };
    let signed_in = service
        .store
        .write(sent.outfit_id, async |books| {
            books.hold_account(candidate.account.id).await?;
            // It may have been closed, or its password set anew, while this one was looked at.
            let closed =
                books.account(candidate.account.id).await?.is_none_or(|state| state.closed.is_some());
            if closed || books.password(candidate.account.id).await? != candidate.phc {
                return Err(refused());
            }
            let signed_in = sessions::begin(books, &service, &candidate.account).await?;
            books.add_success(begun.attempt, signed_in.grant_id).await?;
            let author = Author { name: &candidate.account.name, role: &candidate.account.role };
            let request = Some(*request_id);
            audit::enter(books, &service, author, &OPERATION, signed_in.grant_id, request).await?;
            Ok(signed_in)
        })
        .await?;
    tracing::info!(grant.id = %signed_in.grant_id, "signed in");
    Ok(HttpResponse::Ok().insert_header(("Cache-Control", "no-store")).json(signed_in))
}

/// An account that it may be.
struct Candidate {
    account: Account,
    phc: Option<String>,
}

/// A try that was written down.
struct Begun {
    attempt: SignInAttemptId,
    candidate: Option<Candidate>,
}

fn refused() -> Refusal {
    Refusal::new(Code::SignInRefused, "there is no open account of this name with this password")
}

/// Writes the try down, unless the name has to wait.
async fn begin(service: &Service, sent: &SignInCreate) -> Result<Begun, Refusal> {
    let name = SignInName(secrets::hash(sent.name.as_str()));
    let (attempt, now) = (service.ids.make(), service.clock.now());
    service
        .store
        .write(sent.outfit_id, async |books| {
            if books.own_outfit().await?.is_none() {
                return Ok(Begun { attempt, candidate: None });
            }
            let newest = books.attempts(name, DECIDING).await?;
            if let Some(until) = locked_until(&newest).filter(|until| *until > now) {
                return Err(locked(until, now));
            }
            books.add_attempt(attempt, name, now).await?;
            let found = books.account_named(sent.name.as_str()).await?;
            let candidate = match found.filter(|state| state.closed.is_none()) {
                Some(state) => {
                    let phc = books.password(state.account.id).await?;
                    Some(Candidate { account: state.account, phc })
                }
                None => None,
            };
            Ok(Begun { attempt, candidate })
        })
        .await
}

fn locked(until: Timestamp, now: Timestamp) -> Refusal {
    let wait = until.duration_since(now);
    let seconds = wait.as_secs().saturating_add(i64::from(wait.subsec_nanos() > 0));
    let mut refusal =
        Refusal::new(Code::SignInLocked, format!("this name has to wait for {seconds} seconds"));
    refusal.headers.push(("Retry-After", seconds.to_string()));
    refusal
}
