//! Lists check scales.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{ContractId, JobId};
use serde::Deserialize;
use storage::{CheckScaleFilter, Contract};
use utoipa::IntoParams;
use wire::{CheckScaleView, Listing};

use crate::books::checking::showing;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{EVERYONE, Effect, Operation};
use crate::http::parameters::{check_span, name_if_any};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_check_scales",
    method: Method::GET,
    path: "/v1/check-scales",
    access: EVERYONE,
    effect: Effect::None,
    refusals: &[],
};

/// Which check scales.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct CheckScaleQuery {
    /// Of contracts of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Of this contract's scale.
    #[param(value_type = Option<String>, format = Uuid)]
    contract_id: Option<ContractId>,
    /// Of this scaler's scale, as the name stands on tickets.
    scaler: Option<String>,
    /// Made on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Made on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
}

/// List check scales, oldest filed first
///
/// A mill sees those of its own contracts.
#[utoipa::path(
    tag = "check scales",
    operation_id = "list_check_scales",
    params(CheckScaleQuery, PageQuery),
    responses((status = 200, description = "A page of check scales.", body = Listing<CheckScaleView>))
)]
#[get("/v1/check-scales")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<CheckScaleQuery>,
) -> Result<Shown<Listing<CheckScaleView>>, Refusal> {
    let page = list.page()?;
    let query = &list.filter;
    check_span(query.from, query.to)?;
    let filter = CheckScaleFilter {
        job: query.job_id,
        contract: query.contract_id,
        mill: member.mill,
        scaler: name_if_any("scaler", query.scaler.as_ref())?,
        from: query.from,
        to: query.to,
        lot_touches: None,
    };
    let items = service
        .read(&member, async |books| {
            let mut items = Vec::new();
            let mut contracts: BTreeMap<ContractId, Contract> = BTreeMap::new();
            for state in books.check_scales(&filter, page).await? {
                let id = state.record.contract;
                let contract = match contracts.entry(id) {
                    Entry::Occupied(known) => known.into_mut(),
                    Entry::Vacant(place) => {
                        let found = books.contract(id).await?;
                        place.insert(found.ok_or_else(|| Refusal::not_found("contract", id))?)
                    }
                };
                items.push(showing::check_scale(&state, contract)?);
            }
            Ok::<_, Refusal>(items)
        })
        .await?;
    Ok(list.answer(items, |item: &CheckScaleView| item.check_scale_id))
}
