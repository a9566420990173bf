//! Lists the outfit's workers.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::WorkerId;
use storage::Named;
use wire::{Listing, WorkerView};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_workers",
    method: Method::GET,
    path: "/v1/workers",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the workers
#[utoipa::path(
    tag = "people",
    operation_id = "list_workers",
    params(PageQuery),
    responses((status = 200, description = "A page of workers, oldest first.", body = Listing<WorkerView>))
)]
#[get("/v1/workers")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<WorkerView>>, Refusal> {
    let page = list.page()?;
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.workers(page).await?)).await?;
    let items: Vec<_> = found.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &WorkerView| item.worker_id))
}

/// A worker as it is shown.
pub fn view(worker: Named<WorkerId>) -> WorkerView {
    WorkerView { worker_id: worker.id, name: worker.name, made_at: worker.made.at }
}
