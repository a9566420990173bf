//! Adjusts a contract's scale by what a check scale found.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::CheckScaleId;
use storage::{Books, CheckScale, VolumeAdjustment};
use wire::{Code, VolumeAdjustmentCreate, VolumeAdjustmentView};

use super::show::find;
use crate::books::checking::comparing::{Compared, compared};
use crate::books::checking::effect::effect;
use crate::books::checking::explaining::view;
use crate::books::checking::sampling::Working;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_volume_adjustment",
    method: Method::POST,
    path: "/v1/check-scales/{check_scale_id}/adjustments",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[
        Code::NotFound,
        Code::WithinTolerance,
        Code::AdjustedAlready,
        Code::NothingToAdjust,
        Code::TooLarge,
    ],
};

/// Adjust a contract's scale by what a check scale found
///
/// Adds to each day of the lot, under each rate, what it holds × (ratio - 1), as `money` of the check scale shows it. From
/// then on it counts beside the tickets: what it changes in weeks already posted comes as an adjustment in the open week.
/// The quantities stay as they are filed. Where the contract's tolerance does not ask for it, `although` says why it is
/// done all the same.
#[utoipa::path(
    tag = "check scales",
    operation_id = "file_volume_adjustment",
    params(("check_scale_id" = CheckScaleId, Path, description = "The check scale.")),
    request_body = VolumeAdjustmentCreate,
    responses((status = 201, description = "Adjusted.", body = VolumeAdjustmentView))
)]
#[post("/v1/check-scales/{check_scale_id}/adjustments")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<CheckScaleId>,
    body: Body<VolumeAdjustmentCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let record = find(books, &member, id.0).await?.record;
            refuse_second(books, &record).await?;
            let compared = compared(books, &record, Working::Dropped).await?;
            if sent.although.is_none() {
                refuse_unasked(&compared)?;
            }
            let outfit = own(books).await?;
            let quantities = effect(&compared, &outfit, "")?.quantities;
            if quantities.is_empty() {
                let detail = "no rate of the contract would change by it".to_owned();
                return Err(Refusal::new(Code::NothingToAdjust, detail));
            }
            let adjustment = VolumeAdjustment {
                id: service.ids.make(),
                check_scale: record.id,
                reason: sent.reason.as_str().to_owned(),
                although: sent.although.as_ref().map(|why| why.as_str().to_owned()),
                quantities,
                made: member.stamp(service.clock.as_ref()),
                reversed: None,
            };
            books.add_volume_adjustment(&adjustment).await?;
            Ok(Kept::new(adjustment.id, view(adjustment)))
        })
        .await
}

async fn refuse_second(books: &mut Books, record: &CheckScale) -> Result<(), Refusal> {
    let filed = books.volume_adjustments(Some(record.id)).await?;
    match filed.iter().find(|one| one.reversed.is_none()) {
        None => Ok(()),
        Some(one) => {
            let detail = format!("{} filed {} on {}: {}", one.made.by, one.id, one.made.at, one.reason);
            Err(Refusal::new(Code::AdjustedAlready, detail))
        }
    }
}

fn refuse_unasked(compared: &Compared) -> Result<(), Refusal> {
    if compared.verdict.asks_for_adjustment() {
        return Ok(());
    }
    Err(Refusal::new(Code::WithinTolerance, compared.verdict.view().says.join("; ")))
}
