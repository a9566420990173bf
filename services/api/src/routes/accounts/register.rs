//! Registers somebody who will sign in.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use wire::{AccountCreate, AccountRegistered, Code};

use crate::access::accounts::{check_role, enrol, find, register, view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "register_account",
    method: Method::POST,
    path: "/v1/accounts",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NameTaken, Code::NamesMissingRecord],
};

/// Register somebody who will sign in
///
/// The answer holds a code with which the person sets their own password, once and within seven days. It is shown this
/// once; nobody but the person ever knows the password.
#[utoipa::path(
    tag = "access",
    operation_id = "register_account",
    request_body = AccountCreate,
    responses((status = 201, description = "Registered.", body = AccountRegistered))
)]
#[post("/v1/accounts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<AccountCreate>,
) -> Result<HttpResponse, Refusal> {
    check_role(body.0.role, body.0.mill_id)?;
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            let id = register(books, &service, &body.0, &made).await?;
            let enrolment = enrol(books, &service, id, "registered", &made).await?;
            tracing::info!(account.id = %id, "account registered");
            let registered = AccountRegistered { account: view(find(books, id).await?)?, enrolment };
            Ok(Kept::new(id, registered).with_secret())
        })
        .await
}
