//! Lists what was sent to a subscription.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{AuditEntryId, EventId, EventSubscriptionId, Id};
use serde::Deserialize;
use storage::{Attempt, Delivery, DeliveryPlace, EventPlace};
use utoipa::IntoParams;
use wire::{AttemptOutcome, AttemptView, Code, DeliveryState, DeliveryView, Listing};

use super::show::found;
use crate::events::happening::Happening;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::{InPath, InQuery, page};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_deliveries",
    method: Method::GET,
    path: "/v1/event-subscriptions/{subscription_id}/deliveries",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Which deliveries.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DeliveryQuery {
    /// The `next` of the page before; left out for the first page.
    after: Option<String>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

impl DeliveryQuery {
    /// How many, and behind which.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`].
    pub fn page(&self) -> Result<(Option<DeliveryPlace>, u16), Refusal> {
        let limit = page::<EventSubscriptionId>(None, self.limit)?.limit;
        let after = self.after.as_deref().map(|text| {
            let unreadable = || Refusal::new(Code::WrongAddress, "`after` is not the `next` of a page");
            place(text).ok_or_else(unreadable)
        });
        Ok((after.transpose()?, limit))
    }
}

/// List what was sent to a subscription, newest event first
///
/// For the question why a tool did not hear: every event that was sent, with every try and what came of it. What waits
/// behind an event that the tool does not take was not sent, and stands in no list yet.
#[utoipa::path(
    tag = "events",
    operation_id = "list_deliveries",
    params(("subscription_id" = EventSubscriptionId, Path, description = "The subscription."), DeliveryQuery),
    responses((status = 200, description = "A page of deliveries.", body = Listing<DeliveryView>))
)]
#[get("/v1/event-subscriptions/{subscription_id}/deliveries")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<EventSubscriptionId>,
    query: InQuery<DeliveryQuery>,
) -> Result<Json<Listing<DeliveryView>>, Refusal> {
    let (after, limit) = query.0.page()?;
    let (ended, deliveries) = service
        .read(&member, async |books| {
            let subscription = found(books, id.0).await?;
            let deliveries = books.deliveries(id.0, after, limit).await?;
            Ok::<_, Refusal>((subscription.ended.is_some(), deliveries))
        })
        .await?;
    Ok(Json(listed(&deliveries, limit, ended)?))
}

/// A page of deliveries as it is answered: a full page names where the next one begins.
///
/// # Errors
///
/// [`Code::Internal`] when a row cannot be read.
pub fn listed(deliveries: &[Delivery], limit: u16, ended: bool) -> Result<Listing<DeliveryView>, Refusal> {
    let full = deliveries.len() == usize::from(limit);
    let next = deliveries.last().filter(|_| full).map(|last| mark(last.place));
    Ok(Listing { items: deliveries.iter().map(|one| view(one, ended)).collect::<Result<_, _>>()?, next })
}

fn view(delivery: &Delivery, ended: bool) -> Result<DeliveryView, Refusal> {
    let last = delivery.attempts.last().ok_or_else(|| Refusal::internal("a delivery without a try"))?;
    let kind = Happening::kind(&last.kind).ok_or_else(|| Refusal::internal("no kind of event"))?;
    Ok(DeliveryView {
        event_id: EventId::from_uuid(last.event),
        kind,
        happened_at: last.happened_at,
        state: match delivery.delivered {
            None if ended => DeliveryState::Dropped,
            None => DeliveryState::Waiting,
            Some(true) => DeliveryState::Delivered,
            Some(false) => DeliveryState::Dead,
        },
        replays: delivery.place.round,
        attempts: delivery.attempts.iter().map(attempt).collect::<Result<_, _>>()?,
        not_before: last.not_before.filter(|_| delivery.delivered.is_none() && !ended),
    })
}

fn attempt(one: &Attempt) -> Result<AttemptView, Refusal> {
    let outcome = AttemptOutcome::ALL.into_iter().find(|outcome| outcome.name() == one.outcome);
    Ok(AttemptView {
        number: one.number,
        began_at: one.began_at,
        outcome: outcome.ok_or_else(|| Refusal::internal("no outcome of a try"))?,
        status: one.status,
        milliseconds: one.milliseconds,
    })
}

/// A place as the mark of a page.
fn mark(place: DeliveryPlace) -> String {
    let EventPlace { transaction, entry, part } = place.event;
    format!("{transaction}.{entry}.{part}.{}", place.round)
}

/// The place that a mark stands for.
fn place(mark: &str) -> Option<DeliveryPlace> {
    let mut parts = mark.split('.');
    let transaction = parts.next()?.parse().ok()?;
    let entry: AuditEntryId = parts.next()?.parse().ok()?;
    let part: u32 = parts.next()?.parse().ok().filter(|part| i32::try_from(*part).is_ok())?;
    let round: u16 = parts.next()?.parse().ok().filter(|round| i16::try_from(*round).is_ok())?;
    let event = EventPlace { transaction, entry, part };
    parts.next().is_none().then_some(DeliveryPlace { event, round })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_read_as_it_is_written() {
        let text = "77.0197a000-0000-7000-8000-000000000001.3.1";
        assert_eq!(mark(place(text).unwrap()), text);
        for wrong in [
            "",
            "77",
            "a.b.c.d",
            "77.0197a000-0000-7000-8000-000000000001.3",
            "1.2.3.4",
            &format!("{text}.5"),
        ] {
            assert_eq!(place(wrong), None, "{wrong}");
        }
        assert_eq!(place("77.0197a000-0000-7000-8000-000000000001.4294967295.1"), None);
    }
}
