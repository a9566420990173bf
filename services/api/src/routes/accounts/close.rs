//! Closes an account.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::AccountId;
use wire::{AccountView, ClosureCreate, Code};

use crate::access::accounts::{find, view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "close_account",
    method: Method::POST,
    path: "/v1/accounts/{account_id}/closure",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::EndedAlready],
};

/// Close an account
///
/// Nobody signs in with it any more, and whoever is signed in with it is let into nothing from this moment on. What
/// they recorded stays. There is no opening it again: register another.
#[utoipa::path(
    tag = "access",
    operation_id = "close_account",
    params(("account_id" = AccountId, Path, description = "The account.")),
    request_body = ClosureCreate,
    responses((status = 201, description = "Closed.", body = AccountView))
)]
#[post("/v1/accounts/{account_id}/closure")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    path: InPath<AccountId>,
    body: Body<ClosureCreate>,
) -> Result<HttpResponse, Refusal> {
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            let _there = find(books, path.0).await?;
            books.close_account(path.0, body.0.reason.as_str(), &made).await?;
            tracing::info!(account.id = %path.0, "account closed");
            Ok(Kept::new(path.0, view(find(books, path.0).await?)?))
        })
        .await
}
