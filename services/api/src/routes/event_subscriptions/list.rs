//! Lists the subscriptions to events.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use wire::{EventSubscriptionView, Listing};

use super::show::view;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::{InQuery, PageQuery, listing};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_event_subscriptions",
    method: Method::GET,
    path: "/v1/event-subscriptions",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[],
};

/// List the subscriptions to events, oldest first, those that have ended too
#[utoipa::path(
    tag = "events",
    operation_id = "list_event_subscriptions",
    params(PageQuery),
    responses((status = 200, description = "A page of subscriptions.", body = Listing<EventSubscriptionView>))
)]
#[get("/v1/event-subscriptions")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<PageQuery>,
) -> Result<Json<Listing<EventSubscriptionView>>, Refusal> {
    let page = query.0.page()?;
    let items = service
        .read(&member, async |books| {
            let mut items = Vec::new();
            for one in books.event_subscriptions(page).await? {
                items.push(view(books, &service, one).await?);
            }
            Ok::<_, Refusal>(items)
        })
        .await?;
    Ok(Json(listing(page, items, |item: &EventSubscriptionView| item.subscription_id)))
}
