//! Shows a subscription to events.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::EventSubscriptionId;
use storage::{Books, EventSubscription};
use wire::{Code, EndedView, EventSubscriptionView, SigningSecretView};

use crate::events::happening::Happening;
use crate::events::secrets::signing;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_event_subscription",
    method: Method::GET,
    path: "/v1/event-subscriptions/{subscription_id}",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show a subscription to events
#[utoipa::path(
    tag = "events",
    operation_id = "show_event_subscription",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription.")),
    responses((status = 200, description = "The subscription.", body = EventSubscriptionView))
)]
#[get("/v1/event-subscriptions/{subscription_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<EventSubscriptionId>,
) -> Result<Json<EventSubscriptionView>, Refusal> {
    let shown = service.read(&member, async |books| whole_view(books, &service, id.0).await).await?;
    Ok(Json(shown))
}

/// The subscription with this id.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn found(books: &mut Books, id: EventSubscriptionId) -> Result<EventSubscription, Refusal> {
    let found = books.event_subscription(id).await?;
    found.ok_or_else(|| Refusal::not_found("event subscription", id))
}

/// The subscription with this id, which must not have ended.
///
/// # Errors
///
/// [`Code::NotFound`], [`Code::SubscriptionEnded`].
pub async fn lasting(books: &mut Books, id: EventSubscriptionId) -> Result<EventSubscription, Refusal> {
    let found = found(books, id).await?;
    match &found.ended {
        None => Ok(found),
        Some(end) => {
            let detail = format!("it ended at {}: {}", end.made.at, end.reason);
            Err(Refusal::new(Code::SubscriptionEnded, detail))
        }
    }
}

/// The subscription with this id as it is shown.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn whole_view(
    books: &mut Books,
    service: &Service,
    id: EventSubscriptionId,
) -> Result<EventSubscriptionView, Refusal> {
    let found = found(books, id).await?;
    view(books, service, found).await
}

/// A subscription as it is shown.
///
/// # Errors
///
/// When the books cannot be read.
pub async fn view(
    books: &mut Books,
    service: &Service,
    one: EventSubscription,
) -> Result<EventSubscriptionView, Refusal> {
    let secrets = match one.ended {
        None => books.signing_secrets(one.id).await?,
        Some(_) => Vec::new(),
    };
    let secrets = signing(&secrets, service.clock.now()).into_iter().map(|(secret, signs_until)| {
        SigningSecretView { secret_id: secret.id, made_at: secret.made.at, signs_until }
    });
    Ok(EventSubscriptionView {
        subscription_id: one.id,
        url: one.url,
        kinds: one.kinds.iter().filter_map(|name| Happening::kind(name)).collect(),
        says: one.says,
        secrets: secrets.collect(),
        ended: one.ended.map(|end| EndedView {
            reason: end.reason,
            ended_by: end.made.by,
            ended_at: end.made.at,
        }),
        made_by: one.made.by,
        made_at: one.made.at,
    })
}
