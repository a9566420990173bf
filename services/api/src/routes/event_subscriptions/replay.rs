//! Has events that were given up sent again.

use std::collections::BTreeSet;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::{EventId, EventSubscriptionId, Id};
use storage::{Books, Delivery};
use wire::{Code, DeadLetterReplay, DeadLetterReplayed, FieldProblem};

use super::show::lasting;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many dead letters are replayed at once.
const MOST: u16 = 500;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "replay_dead_letters",
    method: Method::POST,
    path: "/v1/event-subscriptions/{subscription_id}/dead-letters/replay",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::SubscriptionEnded, Code::NamesMissingRecord, Code::TooMany],
};

/// Have events sent again that were given up
///
/// Each is sent with the id it had, as often as a new one, and beside the new ones: it holds up nothing.
#[utoipa::path(
    tag = "events",
    operation_id = "replay_dead_letters",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription.")),
    request_body = DeadLetterReplay,
    responses((status = 201, description = "They are sent again.", body = DeadLetterReplayed))
)]
#[post("/v1/event-subscriptions/{subscription_id}/dead-letters/replay")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<EventSubscriptionId>,
    body: Body<DeadLetterReplay>,
) -> Result<HttpResponse, Refusal> {
    let asked = body.0.event_ids;
    if asked.as_ref().is_some_and(|asked| asked.len() > usize::from(MOST)) {
        return Err(Refusal::new(Code::TooMany, format!("{MOST} dead letters may be replayed at once")));
    }
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            lasting(books, id.0).await?;
            let dead = match &asked {
                None => books.dead_letters(id.0, None, MOST).await?,
                Some(asked) => chosen(books, id.0, asked).await?,
            };
            let places: Vec<_> = dead.iter().map(|one| one.place).collect();
            books.add_replays(id.0, &places, &made).await?;
            let ids =
                dead.iter().filter_map(|one| one.attempts.last()).map(|one| EventId::from_uuid(one.event));
            Ok(Kept::new(id.0, DeadLetterReplayed { event_ids: ids.collect() }))
        })
        .await
}

/// The dead letters with these ids.
async fn chosen(
    books: &mut Books,
    subscription: EventSubscriptionId,
    asked: &[EventId],
) -> Result<Vec<Delivery>, Refusal> {
    let mut missing: BTreeSet<EventId> = asked.iter().copied().collect();
    let mut chosen = Vec::new();
    let mut after = None;
    while !missing.is_empty() {
        let page = books.dead_letters(subscription, after, MOST).await?;
        after = page.last().map(|last| last.place);
        if after.is_none() {
            break;
        }
        chosen.extend(page.into_iter().filter(|one| {
            one.attempts.last().is_some_and(|last| missing.remove(&EventId::from_uuid(last.event)))
        }));
    }
    if missing.is_empty() {
        return Ok(chosen);
    }
    let problem = |(place, id): (usize, &EventId)| {
        missing.contains(id).then(|| FieldProblem {
            pointer: format!("#/event_ids/{place}"),
            detail: "no event with this id is among the dead letters".to_owned(),
        })
    };
    let detail = format!("{} of the events are not among the dead letters", missing.len());
    Err(Refusal::new(Code::NamesMissingRecord, detail).at(asked
        .iter()
        .enumerate()
        .filter_map(problem)
        .collect()))
}
