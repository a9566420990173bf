//! Files a subscription of a tool to events.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::EventSubscriptionId;
use storage::{Books, EventSubscription, Stamp};
use wire::{Code, EventSubscriptionCreate, EventSubscriptionFiled, FieldProblem};

use super::make_secret::add_secret;
use super::show::whole_view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many subscriptions of an outfit may last at once.
const MOST: usize = 20;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_event_subscription",
    method: Method::POST,
    path: "/v1/event-subscriptions",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::TargetRefused, Code::TooMany],
};

/// Have a tool told of events
///
/// From now on every event of these kinds is sent to the address, in the order in which they happened, until it was
/// answered 2xx. The reply holds the secret that the tool knows us by; it is shown this once. What is sent, and how the
/// tool checks it, stands under `webhooks`.
#[utoipa::path(
    tag = "events",
    operation_id = "file_event_subscription",
    request_body = EventSubscriptionCreate,
    responses((status = 201, description = "Filed. Keep the secret.", body = EventSubscriptionFiled))
)]
#[post("/v1/event-subscriptions")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<EventSubscriptionCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let refused = |detail: String| {
        let problem = FieldProblem { pointer: "#/url".to_owned(), detail: detail.clone() };
        Refusal::new(Code::TargetRefused, detail).at(vec![problem])
    };
    service.sender.check(sent.url.as_str()).await.map_err(|problem| refused(problem.to_string()))?;
    let new = record(&sent, service.ids.make(), member.stamp(service.clock.as_ref()))?;
    filing
        .keep(&service, &member, async |books| {
            check_number(books).await?;
            books.add_event_subscription(&new).await?;
            let made = add_secret(books, &service, &member, new.id, 0).await?;
            let subscription = whole_view(books, &service, new.id).await?;
            let filed = EventSubscriptionFiled { subscription, secret: made.secret };
            Ok(Kept::new(new.id, filed).with_secret())
        })
        .await
}

fn record(
    sent: &EventSubscriptionCreate,
    id: EventSubscriptionId,
    made: Stamp,
) -> Result<EventSubscription, Refusal> {
    let wrong = |detail: &str| {
        let problem = FieldProblem { pointer: "#/kinds".to_owned(), detail: detail.to_owned() };
        Refusal::new(Code::WrongForm, format!("#/kinds: {detail}")).at(vec![problem])
    };
    let mut kinds = sent.kinds.clone();
    kinds.sort();
    kinds.dedup();
    if kinds.is_empty() {
        return Err(wrong("name at least one kind of event"));
    }
    if kinds.len() != sent.kinds.len() {
        return Err(wrong("a kind stands here twice: name each once"));
    }
    Ok(EventSubscription {
        id,
        url: sent.url.as_str().to_owned(),
        kinds: kinds.into_iter().map(|kind| kind.name().to_owned()).collect(),
        says: sent.says.as_str().to_owned(),
        made,
        ended: None,
    })
}

async fn check_number(books: &mut Books) -> Result<(), Refusal> {
    let lasting = books.lasting_event_subscriptions().await?.len();
    if lasting >= MOST {
        let detail = format!("an outfit may have {MOST} subscriptions that last; yours has {lasting}");
        return Err(Refusal::new(Code::TooMany, detail));
    }
    Ok(())
}
