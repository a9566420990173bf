//! Lists the events of a subscription that were given up.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::EventSubscriptionId;
use wire::{Code, DeliveryView, Listing};

use super::deliveries::{DeliveryQuery, listed};
use super::show::found;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_dead_letters",
    method: Method::GET,
    path: "/v1/event-subscriptions/{subscription_id}/dead-letters",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// List the events that were given up, oldest first
///
/// An event is given up after ten tries over three days. It stays here until it is replayed.
#[utoipa::path(
    tag = "events",
    operation_id = "list_dead_letters",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription."), DeliveryQuery),
    responses((status = 200, description = "A page of dead letters.", body = Listing<DeliveryView>))
)]
#[get("/v1/event-subscriptions/{subscription_id}/dead-letters")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<EventSubscriptionId>,
    query: InQuery<DeliveryQuery>,
) -> Result<Json<Listing<DeliveryView>>, Refusal> {
    let (after, limit) = query.0.page()?;
    let dead = service
        .read(&member, async |books| {
            found(books, id.0).await?;
            Ok::<_, Refusal>(books.dead_letters(id.0, after, limit).await?)
        })
        .await?;
    Ok(Json(listed(&dead, limit, false)?))
}
