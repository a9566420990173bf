//! Files how many turns were counted.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{ContractParty, TurnCount};
use wire::{Code, FieldProblem, MOST_TURNS, Party, TurnCountCreate, TurnCountView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_turn_count",
    method: Method::POST,
    path: "/v1/turn-counts",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// File how many turns were counted
///
/// By somebody who does not scale, on one day: those a crew moved, or those that came in at a mill. `list_exceptions` holds
/// the day's tickets with a turn against it. A later count for the same job, day and party takes the place of an earlier
/// one; both stay readable.
#[utoipa::path(
    tag = "audit",
    operation_id = "file_turn_count",
    request_body = TurnCountCreate,
    responses((status = 201, description = "Filed.", body = TurnCountView))
)]
#[post("/v1/turn-counts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<TurnCountCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    if sent.turns > MOST_TURNS {
        let says = format!("a count holds {MOST_TURNS} turns at the most");
        return Err(wrong("turns", says));
    }
    let mut count = TurnCount {
        id: service.ids.make(),
        job: sent.job_id,
        counted_on: sent.counted_on,
        party: match sent.party {
            Party::CrewId(crew) => ContractParty::Crew(crew),
            Party::MillId(mill) => ContractParty::Mill(mill),
        },
        turns: sent.turns,
        counted_by: sent.counted_by.into(),
        revision: 1,
        standing: true,
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let today = own(books).await?.time_zone.to_datetime(count.made.at).date();
            if count.counted_on > today {
                let says = format!("{} is still to come; today is {today}", count.counted_on);
                return Err(wrong("counted_on", says));
            }
            count.revision = books.add_turn_count(&count).await?;
            Ok(Kept::new(count.id, view(count)))
        })
        .await
}

fn wrong(member: &str, detail: String) -> Refusal {
    let problem = FieldProblem { pointer: format!("#/{member}"), detail: detail.clone() };
    Refusal::new(Code::WrongForm, detail).at(vec![problem])
}
