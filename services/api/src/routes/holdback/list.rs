//! Lists what is held of workers' pay.

use std::collections::BTreeMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::{Money, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{Books, MoneyFilter, Outfit, Page, ReleaseState};
use utoipa::IntoParams;
use wire::{HeldView, ReleaseView};

use crate::books::money::reversed_view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{FormatQuery, InWhole, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_holdback",
    method: Method::GET,
    path: "/v1/holdback",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Whose holdback.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct HoldbackQuery {
    /// Of this worker; of everybody when left out.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
}

/// List what is held of workers' pay, by worker and contract, with what was let go
#[utoipa::path(
    tag = "pay",
    operation_id = "list_holdback",
    params(HoldbackQuery, FormatQuery),
    responses((status = 200, description = "Whatever is or was held.", body = Vec<HeldView>))
)]
#[get("/v1/holdback")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InWhole<HoldbackQuery>,
) -> Result<Shown<Vec<HeldView>>, Refusal> {
    let worker = list.filter.worker_id;
    let held = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let mut releases = releases_of(books, worker, &outfit, &names).await?;
            let held = books.held().await?.into_iter();
            let asked = held.filter(|((of, _), _)| worker.is_none_or(|worker| worker == *of));
            Ok::<_, Refusal>(
                asked
                    .map(|((worker, contract), minor)| HeldView {
                        payee: names.payee(Payee::Worker(worker)),
                        contract_id: contract,
                        contract_title: names.contract(contract),
                        held: Money::from_minor(minor, outfit.currency),
                        releases: releases.remove(&(worker, contract)).unwrap_or_default(),
                    })
                    .collect::<Vec<_>>(),
            )
        })
        .await?;
    Ok(list.answer(held))
}

type ReleasesByWhom = BTreeMap<(WorkerId, kernel::ContractId), Vec<ReleaseView>>;

/// Every release, page by page.
async fn releases_of(
    books: &mut Books,
    worker: Option<WorkerId>,
    outfit: &Outfit,
    names: &Names,
) -> Result<ReleasesByWhom, Refusal> {
    let mut found = ReleasesByWhom::new();
    let mut page = Page { after: None, limit: 1_000 };
    loop {
        let releases = books.releases(MoneyFilter::of_worker(worker), page).await?;
        let full = releases.len() == usize::from(page.limit);
        page.after = releases.last().map(|last| last.release.id);
        for one in releases {
            let whose = (one.release.worker, one.release.contract);
            found.entry(whose).or_default().push(view(one, outfit, names));
        }
        if !full {
            return Ok(found);
        }
    }
}

/// A release as it is shown.
pub fn view(state: ReleaseState, outfit: &Outfit, names: &Names) -> ReleaseView {
    let release = state.release;
    ReleaseView {
        release_id: release.id,
        payee: names.payee(Payee::Worker(release.worker)),
        contract_id: release.contract,
        contract_title: names.contract(release.contract),
        dated: release.dated,
        says: release.says,
        amount: Money::from_minor(release.amount_minor, outfit.currency),
        journal_entry_id: release.entry,
        reversed: reversed_view(state.reversed),
        made_by: release.made.by,
        made_at: release.made.at,
    }
}
