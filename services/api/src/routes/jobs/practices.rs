//! Lists how the contracts of a job have timber scaled, without anything of pay.

use std::collections::BTreeSet;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use settlement::Rates;
use storage::TermsInForce;
use utoipa::IntoParams;
use wire::{Code, CountedWork, PracticeView};

use crate::books::names::party_view;
use crate::http::caller::Member;
use crate::http::listing::{FormatQuery, InWhole, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_practices",
    method: Method::GET,
    path: "/v1/jobs/{job_id}/practices",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// On which day.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DayQuery {
    /// The day whose terms are asked for. Left out: today, where the outfit is.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    on: Option<Date>,
}

/// List how the contracts of a job have timber scaled on a day
///
/// Each contract whose terms are in force that day, with its whole scaling practice and what it counts, so that a yard
/// can scale without asking. No price and nothing else of pay is in it. All come on one page, oldest contract first.
#[utoipa::path(
    tag = "places",
    operation_id = "list_practices",
    params(("job_id" = JobId, Path, description = "The job."), DayQuery, FormatQuery),
    responses((status = 200, description = "The practices.", body = Vec<PracticeView>))
)]
#[get("/v1/jobs/{job_id}/practices")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<JobId>,
    list: InWhole<DayQuery>,
) -> Result<Shown<Vec<PracticeView>>, Refusal> {
    let in_force = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let today = || outfit.time_zone.to_datetime(service.clock.now()).date();
            let day = list.filter.on.unwrap_or_else(today);
            books.job(id.0).await?.ok_or_else(|| Refusal::not_found("job", id.0))?;
            Ok::<_, Refusal>(books.terms_in_force(id.0, day).await?)
        })
        .await?;
    Ok(list.answer(in_force.into_iter().filter_map(view).collect()))
}

/// A contract's practice; none where it has no terms yet.
fn view(in_force: TermsInForce) -> Option<PracticeView> {
    let (contract, terms) = (in_force.contract, in_force.terms?);
    Some(PracticeView {
        contract_id: contract.id,
        title: contract.title,
        job_id: contract.job,
        party: party_view(contract.party),
        terms_id: terms.id,
        effective_from: terms.effective_from,
        practice: terms.practice,
        counts: counted(&terms.rates),
    })
}

/// What is counted, each once: whether a rate adds or takes off, what it covers and what it comes to are pay. So is
/// time, which counts no wood.
fn counted(rates: &Rates) -> Vec<CountedWork> {
    let of_wood = rates.as_slice().iter().filter(|rate| !rate.is_by_time());
    let each: BTreeSet<_> = of_wood
        .map(|rate| CountedWork { task: rate.task(), product: rate.product(), unit: rate.unit() })
        .collect();
    each.into_iter().collect()
}
