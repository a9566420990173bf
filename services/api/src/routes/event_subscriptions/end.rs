//! Ends a subscription to events.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::EventSubscriptionId;
use storage::SubscriptionEnd;
use wire::{Code, EventSubscriptionEnd, EventSubscriptionView};

use super::show::{lasting, whole_view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "end_event_subscription",
    method: Method::POST,
    path: "/v1/event-subscriptions/{subscription_id}/end",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::SubscriptionEnded],
};

/// End a subscription to events
///
/// Nothing more is sent, what is still waiting neither. Its deliveries stay readable.
#[utoipa::path(
    tag = "events",
    operation_id = "end_event_subscription",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription.")),
    request_body = EventSubscriptionEnd,
    responses((status = 201, description = "Ended.", body = EventSubscriptionView))
)]
#[post("/v1/event-subscriptions/{subscription_id}/end")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<EventSubscriptionId>,
    body: Body<EventSubscriptionEnd>,
) -> Result<HttpResponse, Refusal> {
    let made = member.stamp(service.clock.as_ref());
    let end = SubscriptionEnd { reason: body.0.reason.as_str().to_owned(), made };
    filing
        .keep(&service, &member, async |books| {
            lasting(books, id.0).await?;
            if !books.end_event_subscription(id.0, &end).await? {
                return Err(Refusal::new(Code::SubscriptionEnded, "it has just ended"));
            }
            Ok(Kept::new(id.0, whole_view(books, &service, id.0).await?))
        })
        .await
}
