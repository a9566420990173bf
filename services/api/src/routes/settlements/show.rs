//! Shows a settlement with its lines.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::SettlementId;
use storage::{Books, Outfit, Page, SettlementDraft, UnpricedFilter};
use wire::{Code, ContractVolumes, LineView, PayView, SettlementState, SettlementView};

use crate::books::drafting::{beside_the_lines, totals};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::routes::tickets::show::unpriced_view;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_settlement",
    method: Method::GET,
    path: "/v1/settlements/{settlement_id}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show a settlement with its lines
#[utoipa::path(
    tag = "settlements",
    operation_id = "show_settlement",
    params(("settlement_id" = SettlementId, Path, description = "The settlement.")),
    responses((status = 200, description = "The settlement.", body = SettlementView))
)]
#[get("/v1/settlements/{settlement_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SettlementId>,
) -> Result<Json<SettlementView>, Refusal> {
    let shown = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let found = books.settlement(id.0).await?;
            let draft = found.ok_or_else(|| Refusal::not_found("settlement", id.0))?;
            whole(books, &draft, &outfit).await
        })
        .await?;
    Ok(Json(shown))
}

/// The lines as they were drafted.
///
/// # Errors
///
/// [`Code::Internal`] when they cannot be read back.
pub fn lines(draft: &SettlementDraft) -> Result<Vec<LineView>, Refusal> {
    serde_json::from_value(draft.lines.clone()).map_err(Refusal::internal)
}

/// Each worker's pay as it was drafted.
///
/// # Errors
///
/// [`Code::Internal`] when it cannot be read back.
pub fn pays(draft: &SettlementDraft) -> Result<Vec<PayView>, Refusal> {
    serde_json::from_value(draft.pays.clone()).map_err(Refusal::internal)
}

/// The week's volumes as they were drafted.
///
/// # Errors
///
/// [`Code::Internal`] when they cannot be read back.
pub fn volumes(draft: &SettlementDraft) -> Result<Vec<ContractVolumes>, Refusal> {
    serde_json::from_value(draft.volumes.clone()).map_err(Refusal::internal)
}

/// A settlement as it is shown.
///
/// # Errors
///
/// [`Code::Internal`] when its lines cannot be read back.
pub fn view(draft: &SettlementDraft, outfit: &Outfit) -> Result<SettlementView, Refusal> {
    let lines = lines(draft)?;
    let pays = pays(draft)?;
    let (paid_to_crews, owed_by_mills) = totals(&lines, outfit)?;
    let (added_to_pay, kept_back) = beside_the_lines(&pays, outfit)?;
    let posting = draft.posting.as_ref();
    Ok(SettlementView {
        settlement_id: draft.id,
        week_ends_on: draft.week_ends_on,
        state: if posting.is_some() { SettlementState::Posted } else { SettlementState::Draft },
        lines,
        pays,
        volumes: volumes(draft)?,
        paid_to_crews,
        added_to_pay,
        kept_back,
        owed_by_mills,
        unpriced: Vec::new(),
        drafted_by: draft.drafted.by.clone(),
        drafted_at: draft.drafted.at,
        posted_by: posting.map(|posting| posting.posted.by.clone()),
        posted_at: posting.map(|posting| posting.posted.at),
    })
}

/// A settlement with its lines and what holds it up.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn whole(
    books: &mut Books,
    draft: &SettlementDraft,
    outfit: &Outfit,
) -> Result<SettlementView, Refusal> {
    let mut shown = view(draft, outfit)?;
    if draft.posting.is_none() {
        let open = books.open_unpriced(UnpricedFilter::up_to(draft.week_ends_on), Page::first(1_000)).await?;
        shown.unpriced = open.into_iter().map(unpriced_view).collect();
    }
    Ok(shown)
}
