//! Grants an access token to somebody of the outfit.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::SignedDuration;
use kernel::TokenId;
use wire::{AccessTokenCreate, AccessTokenView, Code, FieldProblem, Role};

use crate::http::body::Body;
use crate::http::caller::{Caller, Member};
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, Access, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "grant_access",
    method: Method::POST,
    path: "/v1/access-tokens",
    access: Access::Roles(&[Role::Manager]),
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// A working day's shift.
const USUAL_MINUTES: u16 = 8 * 60;
/// The longest a token is good for.
const MOST_MINUTES: u16 = 24 * 60;

/// Grant an access token to somebody of your outfit
///
/// The token is shown this once and kept nowhere. Whoever holds it can do what its role may do until it expires.
#[utoipa::path(
    tag = "outfit",
    operation_id = "grant_access",
    request_body = AccessTokenCreate,
    responses((status = 201, description = "The token.", body = AccessTokenView))
)]
#[post("/v1/access-tokens")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<AccessTokenCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let wrong = |pointer: &str, detail: &str| {
        Refusal::new(Code::WrongForm, detail)
            .at(vec![FieldProblem { pointer: pointer.to_owned(), detail: detail.to_owned() }])
    };
    if sent.role == Role::Operator {
        return Err(wrong("#/role", "an operator belongs to no outfit; only the service's own program makes one"));
    }
    if (sent.role == Role::Mill) != sent.mill_id.is_some() {
        return Err(wrong("#/mill_id", "name a mill for the role `mill`, and only for it"));
    }
    let minutes = sent.minutes.unwrap_or(USUAL_MINUTES);
    if minutes == 0 || minutes > MOST_MINUTES {
        return Err(wrong("#/minutes", "a token is good for 1 to 1440 minutes"));
    }
    if let Some(mill) = sent.mill_id {
        let found = service.read(&member, async |books| {
            Ok::<_, Refusal>(books.mill(mill).await?)
        });
        if found.await?.is_none() {
            return Err(Refusal::new(Code::NamesMissingRecord, format!("there is no mill {mill}")));
        }
    }
    let subject = sent.subject.as_str().to_owned();
    let caller = Caller::Member(Member {
        outfit: member.outfit,
        role: sent.role,
        subject: subject.clone(),
        mill: sent.mill_id,
    });
    filing
        .keep(&service, &member, async |_| {
            let (access_token, expires_at) =
                service.tokens.grant(&caller, SignedDuration::from_mins(minutes.into()))?;
            tracing::info!(granted.to = subject, granted.role = sent.role.name(), "access granted");
            let granted = AccessTokenView { access_token, subject, role: sent.role, expires_at };
            Ok(Kept::new(service.ids.make::<TokenId>(), granted).with_secret())
        })
        .await
}
