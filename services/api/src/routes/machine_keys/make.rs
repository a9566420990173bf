//! Makes a key for a machine.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::{SignedDuration, Timestamp, ToSpan};
use kernel::Id;
use storage::{Grant, GrantKind, MachineKey, Outfit, Stamp};
use wire::{Code, FieldProblem, MachineKeyCreate, MachineKeyMade};

use crate::access::accounts::{check_mill, check_role};
use crate::access::grants::view;
use crate::access::{scopes, secrets};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "make_machine_key",
    method: Method::POST,
    path: "/v1/machine-keys",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// The longest that a key is good.
const LONGEST: SignedDuration = SignedDuration::from_hours(400 * 24);

/// Make a key for a machine
///
/// For a tool that posts or reads without anybody signing in. The key is shown this once. It does what its role may do,
/// within its scopes, until it expires or is revoked (`revoke_access`).
#[utoipa::path(
    tag = "access",
    operation_id = "make_machine_key",
    request_body = MachineKeyCreate,
    responses((status = 201, description = "The key.", body = MachineKeyMade))
)]
#[post("/v1/machine-keys")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<MachineKeyCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    check_role(sent.role, sent.mill_id)?;
    scopes::must_exist(&sent.scopes)?;
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            check_mill(books, sent.mill_id).await?;
            let expires = end(&sent, &own(books).await?, &made)?;
            let (secret, last_four) = secrets::machine_key(books.outfit(), service.entropy.as_ref())?;
            let mut named: Vec<_> = sent.scopes.iter().map(ToString::to_string).collect();
            named.sort();
            named.dedup();
            let grant = Grant {
                id: service.ids.make(),
                kind: GrantKind::MachineKey,
                subject: sent.name.as_str().to_owned(),
                role: sent.role.name().to_owned(),
                mill: sent.mill_id,
                expires,
                made: made.clone(),
            };
            let secret_hash = secrets::hash(secret.reveal());
            let key = MachineKey { scopes: named, secret_hash, last_four };
            books.add_grant(&grant, Some(&key)).await?;
            let state = books.grant(grant.id).await?;
            let state = state.ok_or_else(|| Refusal::not_found("access grant", grant.id.uuid()))?;
            tracing::info!(grant.id = %grant.id, "key made");
            let made = MachineKeyMade { secret, grant: view(state, made.at)? };
            Ok(Kept::new(grant.id, made).with_secret())
        })
        .await
}

/// The moment at which the last day is over, where the outfit is.
fn end(sent: &MachineKeyCreate, outfit: &Outfit, made: &Stamp) -> Result<Timestamp, Refusal> {
    let wrong = |detail: String| {
        let problem = FieldProblem { pointer: "#/expires_on".to_owned(), detail: detail.clone() };
        Refusal::new(Code::WrongForm, detail).at(vec![problem])
    };
    let far = |_| wrong("this day is past all calendars".to_owned());
    let next_day = sent.expires_on.checked_add(1.day()).map_err(far)?;
    let expires = next_day.to_zoned(outfit.time_zone.clone()).map_err(far)?.timestamp();
    if expires <= made.at {
        return Err(wrong(format!("{} is over already", sent.expires_on)));
    }
    if expires.duration_since(made.at) > LONGEST {
        return Err(wrong("a key is good for 400 days at the most".to_owned()));
    }
    Ok(expires)
}
