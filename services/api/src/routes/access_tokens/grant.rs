//! Grants an access token to somebody of the outfit.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::SignedDuration;
use storage::{Grant, GrantKind};
use wire::{AccessTokenCreate, AccessTokenView, Code, FieldProblem};

use crate::access::accounts::{check_mill, check_role};
use crate::http::body::Body;
use crate::http::caller::{Caller, Member};
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "grant_access",
    method: Method::POST,
    path: "/v1/access-tokens",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// A working day's shift.
const USUAL_MINUTES: u16 = 8 * 60;
/// The longest a token is good for.
const MOST_MINUTES: u16 = 24 * 60;

/// Grant an access token to somebody of your outfit
///
/// The token is shown this once and kept nowhere. Whoever holds it can do what its role may do until it expires or is
/// revoked.
#[utoipa::path(
    tag = "access",
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
    check_role(sent.role, sent.mill_id)?;
    let minutes = sent.minutes.unwrap_or(USUAL_MINUTES);
    if minutes == 0 || minutes > MOST_MINUTES {
        let detail = "a token is good for 1 to 1440 minutes".to_owned();
        return Err(Refusal::new(Code::WrongForm, detail.clone())
            .at(vec![FieldProblem { pointer: "#/minutes".to_owned(), detail }]));
    }
    let lifetime = SignedDuration::from_mins(minutes.into());
    let made = member.stamp(service.clock.as_ref());
    let grant = Grant {
        id: service.ids.make(),
        kind: GrantKind::Token,
        subject: sent.subject.as_str().to_owned(),
        role: sent.role.name().to_owned(),
        mill: sent.mill_id,
        expires: made.at.checked_add(lifetime).map_err(Refusal::internal)?,
        made,
    };
    filing
        .keep(&service, &member, async |books| {
            check_mill(books, sent.mill_id).await?;
            books.add_grant(&grant, None).await?;
            let caller = Caller::Member(Member {
                outfit: books.outfit(),
                role: sent.role,
                subject: grant.subject.clone(),
                mill: grant.mill,
                grant: Some(grant.id),
            });
            let (access_token, expires_at) = service.tokens.grant(&caller, lifetime)?;
            tracing::info!(grant.id = %grant.id, granted.role = sent.role.name(), "access granted");
            let subject = grant.subject.clone();
            let granted =
                AccessTokenView { access_token, grant_id: grant.id, subject, role: sent.role, expires_at };
            Ok(Kept::new(grant.id, granted).with_secret())
        })
        .await
}
