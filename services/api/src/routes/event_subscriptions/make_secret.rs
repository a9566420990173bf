//! Makes a new secret for a subscription's deliveries.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::EventSubscriptionId;
use storage::{Books, SealedSecret};
use wire::{Code, FieldProblem, SigningSecret, SigningSecretCreate, SigningSecretMade};

use super::show::lasting;
use crate::events::secrets::{Owner, signing};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many secrets may sign at once: every delivery carries a signature for each.
const MOST: usize = 4;
/// For how long the secret before goes on signing, unless something else is asked for.
const USUAL_OVERLAP: u8 = 24;
/// A week.
const LONGEST_OVERLAP: u8 = 168;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "make_signing_secret",
    method: Method::POST,
    path: "/v1/event-subscriptions/{subscription_id}/secrets",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::SubscriptionEnded, Code::TooMany],
};

/// Exchange the secret of a subscription
///
/// The reply holds a new secret, shown this once. For a day, or for as long as is asked, deliveries carry a signature
/// for the new secret and one for the one before, so the tool can be given the new one without missing anything.
#[utoipa::path(
    tag = "events",
    operation_id = "make_signing_secret",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription.")),
    request_body = SigningSecretCreate,
    responses((status = 201, description = "Made. Keep the secret.", body = SigningSecretMade))
)]
#[post("/v1/event-subscriptions/{subscription_id}/secrets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<EventSubscriptionId>,
    body: Body<SigningSecretCreate>,
) -> Result<HttpResponse, Refusal> {
    let overlap = body.0.overlap_hours.unwrap_or(USUAL_OVERLAP);
    if overlap > LONGEST_OVERLAP {
        let detail =
            format!("{overlap} hours are more than a week: write a number from 0 to {LONGEST_OVERLAP}");
        let problem = FieldProblem { pointer: "#/overlap_hours".to_owned(), detail: detail.clone() };
        return Err(Refusal::new(Code::WrongForm, format!("#/overlap_hours: {detail}")).at(vec![problem]));
    }
    filing
        .keep(&service, &member, async |books| {
            lasting(books, id.0).await?;
            let all = books.signing_secrets(id.0).await?;
            let now = signing(&all, service.clock.now()).len();
            if now >= MOST {
                let detail = format!("{now} secrets sign at the moment; {MOST} may");
                return Err(Refusal::new(Code::TooMany, detail));
            }
            let made = add_secret(books, &service, &member, id.0, overlap).await?;
            Ok(Kept::new(made.secret_id, made).with_secret())
        })
        .await
}

/// Makes a secret and keeps it, sealed.
///
/// # Errors
///
/// [`Code::Internal`] when it cannot be sealed; storage errors.
pub async fn add_secret(
    books: &mut Books,
    service: &Service,
    member: &Member,
    subscription: EventSubscriptionId,
    overlap_hours: u8,
) -> Result<SigningSecretMade, Refusal> {
    let secret = service.secrets.make().map_err(Refusal::internal)?;
    let id = service.ids.make();
    let owner = Owner { outfit: member.outfit, subscription, secret: id };
    let sealed = service.secrets.seal(&secret, owner).map_err(Refusal::internal)?;
    let made = member.stamp(service.clock.as_ref());
    let made_at = made.at;
    let overlap_hours = overlap_hours.into();
    books.add_signing_secret(&SealedSecret { id, subscription, sealed, overlap_hours, made }).await?;
    Ok(SigningSecretMade { secret_id: id, secret: SigningSecret::from(secret.text()), made_at })
}
