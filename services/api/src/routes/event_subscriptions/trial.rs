//! Tries whether the tool of a subscription hears.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use client::events::sign;
use kernel::{EventId, EventSubscriptionId};
use wire::{Code, EventSubscriptionTrial, TrialOutcome};

use super::show::lasting;
use crate::events::happening::trial;
use crate::events::line::milliseconds;
use crate::events::secrets::{Owner, signing};
use crate::events::sending::{Answer, Outgoing};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "try_event_subscription",
    method: Method::POST,
    path: "/v1/event-subscriptions/{subscription_id}/trial",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::SubscriptionEnded],
};

/// Try a subscription to events
///
/// Sends one event of the type `subscription.trial`, signed like any other, waits for the answer and tells it. It is not
/// sent again, waits for nothing before it, and stands in no list of deliveries.
#[utoipa::path(
    tag = "events",
    operation_id = "try_event_subscription",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription.")),
    request_body = EventSubscriptionTrial,
    responses((status = 200, description = "It was tried.", body = TrialOutcome))
)]
#[post("/v1/event-subscriptions/{subscription_id}/trial")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<EventSubscriptionId>,
    body: Body<EventSubscriptionTrial>,
) -> Result<Json<TrialOutcome>, Refusal> {
    let began = service.clock.now();
    // The books are closed again before anybody is waited for.
    let (url, opened) = service
        .read(&member, async |books| {
            let subscription = lasting(books, id.0).await?;
            let all = books.signing_secrets(id.0).await?;
            let opened: Option<Vec<_>> = signing(&all, began)
                .into_iter()
                .map(|(one, _)| {
                    let owner = Owner { outfit: member.outfit, subscription: id.0, secret: one.id };
                    service.secrets.open(&one.sealed, owner)
                })
                .collect();
            Ok((subscription.url, opened.unwrap_or_default()))
        })
        .await?;
    let event = trial(id.0, body.0.says.map(String::from), began);
    let body = serde_json::to_vec(&event).map_err(Refusal::internal)?;
    let answer = match service.sender.target(&url) {
        _ if opened.is_empty() => Answer::NotSigned,
        Err(_) => Answer::TargetRefused,
        Ok(target) => {
            let id = service.ids.make::<EventId>().to_string();
            let signature = sign(&opened, &id, began, &body);
            let outgoing = Outgoing { target, id, timestamp: began.as_second(), signature, body };
            service.sender.send(&outgoing).await
        }
    };
    Ok(Json(TrialOutcome {
        outcome: answer.outcome(),
        status: answer.status(),
        milliseconds: milliseconds(began, service.clock.now()),
    }))
}
