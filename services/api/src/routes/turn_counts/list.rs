//! Lists counted turns.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{CrewId, JobId, MillId};
use serde::Deserialize;
use storage::{ContractParty, TurnCount, TurnCountFilter};
use utoipa::IntoParams;
use wire::{Code, Listing, TurnCountView};

use crate::books::names::party_view;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_turn_counts",
    method: Method::GET,
    path: "/v1/turn-counts",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which counts.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct TurnCountQuery {
    /// Of this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Of this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// Of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Of turns that this crew moved; not together with a mill.
    #[param(value_type = Option<String>, format = Uuid)]
    crew_id: Option<CrewId>,
    /// Of turns that came in at this mill.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
    /// `true`: only those that no later count took the place of.
    standing: Option<bool>,
}

/// List counted turns, oldest filed first
#[utoipa::path(
    tag = "audit",
    operation_id = "list_turn_counts",
    params(TurnCountQuery, PageQuery),
    responses((status = 200, description = "A page of counts.", body = Listing<TurnCountView>))
)]
#[get("/v1/turn-counts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<TurnCountQuery>,
) -> Result<Shown<Listing<TurnCountView>>, Refusal> {
    let page = list.page()?;
    let query = &list.filter;
    check_span(query.from, query.to)?;
    let party = match (query.crew_id, query.mill_id) {
        (Some(_), Some(_)) => {
            let says = "name a crew with `crew_id` or a mill with `mill_id`, not both";
            return Err(Refusal::new(Code::WrongAddress, says));
        }
        (Some(crew), None) => Some(ContractParty::Crew(crew)),
        (None, Some(mill)) => Some(ContractParty::Mill(mill)),
        (None, None) => None,
    };
    let filter = TurnCountFilter {
        from: query.from,
        to: query.to,
        job: query.job_id,
        party,
        standing_only: query.standing.unwrap_or(false),
    };
    let found =
        service.read(&member, async |books| Ok::<_, Refusal>(books.turn_counts(filter, page).await?)).await?;
    let items = found.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &TurnCountView| item.turn_count_id))
}

/// A count as it is shown.
pub fn view(count: TurnCount) -> TurnCountView {
    TurnCountView {
        turn_count_id: count.id,
        job_id: count.job,
        counted_on: count.counted_on,
        party: party_view(count.party),
        turns: count.turns,
        counted_by: count.counted_by,
        revision: count.revision,
        standing: count.standing,
        made_by: count.made.by,
        made_at: count.made.at,
    }
}
