//! Lists the outfit's crews with their divisions of pay.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::CrewId;
use settlement::ShareMethod;
use storage::{Named, ShareSet};
use wire::{CrewView, Listing, ShareSetView, ShareView};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_crews",
    method: Method::GET,
    path: "/v1/crews",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the crews
///
/// A scaler sees their names; how they divide their pay is for those who keep or audit the books.
#[utoipa::path(
    tag = "people",
    operation_id = "list_crews",
    params(PageQuery),
    responses((status = 200, description = "A page of crews, oldest first.", body = Listing<CrewView>))
)]
#[get("/v1/crews")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<CrewView>>, Refusal> {
    let page = list.page()?;
    let sees_pay = member.role != wire::Role::Scaler;
    let (crews, share_sets) = service
        .read(&member, async |books| {
            let crews = books.crews(page).await?;
            let share_sets = if sees_pay { books.share_sets(None).await? } else { Vec::new() };
            Ok::<_, Refusal>((crews, share_sets))
        })
        .await?;
    let items: Vec<_> = crews
        .into_iter()
        .map(|crew| {
            let own = share_sets.iter().filter(|set| set.crew == crew.id).map(share_set_view).collect();
            view(crew, own)
        })
        .collect();
    Ok(list.answer(items, |item: &CrewView| item.crew_id))
}

/// A crew as it is shown.
pub fn view(crew: Named<CrewId>, share_sets: Vec<ShareSetView>) -> CrewView {
    CrewView { crew_id: crew.id, name: crew.name, made_at: crew.made.at, share_sets }
}

/// A division of pay as it is shown.
pub fn share_set_view(set: &ShareSet) -> ShareSetView {
    ShareSetView {
        share_set_id: set.id,
        effective_from: set.effective_from,
        revision: set.revision,
        method: set.method,
        shares: set
            .shares
            .iter()
            .map(|one| ShareView {
                worker_id: one.worker,
                parts: (set.method == ShareMethod::Parts).then_some(one.parts),
            })
            .collect(),
        made_at: set.made.at,
    }
}
