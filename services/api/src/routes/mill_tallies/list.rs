//! Lists mill tallies.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{JobId, MillId};
use serde::Deserialize;
use storage::MillTallyFilter;
use utoipa::IntoParams;
use wire::{Listing, MillTallyView};

use crate::books::outside::overrun::{TallyNames, view};
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_mill_tallies",
    method: Method::GET,
    path: "/v1/mill-tallies",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[],
};

/// Which tallies.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct MillTallyQuery {
    /// Of this mill.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
    /// Of this job alone.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Whose days reach to this one or past it.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Whose days begin on this one or before it.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// Only those that were not taken back.
    standing: Option<bool>,
}

/// List mill tallies, oldest filed first
///
/// A mill sees its own.
#[utoipa::path(
    tag = "audit",
    operation_id = "list_mill_tallies",
    params(MillTallyQuery, PageQuery),
    responses((status = 200, description = "A page of mill tallies.", body = Listing<MillTallyView>))
)]
#[get("/v1/mill-tallies")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<MillTallyQuery>,
) -> Result<Shown<Listing<MillTallyView>>, Refusal> {
    let page = list.page()?;
    let MillTallyQuery { mill_id, job_id, from, to, standing } = list.filter;
    check_span(from, to)?;
    let standing = standing.unwrap_or(false);
    let Some(mill) = seen_by(&member, mill_id) else {
        return Ok(list.answer(Vec::new(), |item: &MillTallyView| item.mill_tally_id));
    };
    let filter = MillTallyFilter { mill, job: job_id, from, to, standing };
    let items = service
        .read(&member, async |books| {
            let names = TallyNames::read(books).await?;
            let found = books.mill_tallies(filter, page).await?;
            found.into_iter().map(|state| view(state, &names)).collect::<Result<Vec<_>, Refusal>>()
        })
        .await?;
    Ok(list.answer(items, |item: &MillTallyView| item.mill_tally_id))
}

/// The mill that a caller who asks for this one may look at, or any when none is asked for; nothing when a mill asks for
/// another.
#[must_use]
pub fn seen_by(member: &Member, asked: Option<MillId>) -> Option<Option<MillId>> {
    match (member.mill, asked) {
        (None, asked) => Some(asked),
        (Some(own), Some(asked)) if asked != own => None,
        (Some(own), _) => Some(Some(own)),
    }
}
