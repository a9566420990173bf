//! Gives leave to set an account's password anew.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::AccountId;
use wire::{Code, EnrolmentCreate, EnrolmentView};

use crate::access::accounts::{enrol, find};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "issue_enrolment",
    method: Method::POST,
    path: "/v1/accounts/{account_id}/enrolments",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::EndedAlready],
};

/// Give a new enrolment code
///
/// For whoever lost the first one, let it expire, or forgot the password. It takes the place of the code before; the
/// old password is good until the new one is set.
#[utoipa::path(
    tag = "access",
    operation_id = "issue_enrolment",
    params(("account_id" = AccountId, Path, description = "Whose password.")),
    request_body = EnrolmentCreate,
    responses((status = 201, description = "The code, shown this once.", body = EnrolmentView))
)]
#[post("/v1/accounts/{account_id}/enrolments")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    path: InPath<AccountId>,
    body: Body<EnrolmentCreate>,
) -> Result<HttpResponse, Refusal> {
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            if let Some(closed) = find(books, path.0).await?.closed {
                let says = format!("{} closed the account: {}", closed.made.by, closed.reason);
                return Err(Refusal::new(Code::EndedAlready, says));
            }
            let enrolment = enrol(books, &service, path.0, body.0.reason.as_str(), &made).await?;
            tracing::info!(account.id = %path.0, "enrolment code given");
            Ok(Kept::new(path.0, enrolment).with_secret())
        })
        .await
}
