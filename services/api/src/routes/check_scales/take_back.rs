//! Takes an adjustment of volume back.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::VolumeAdjustmentId;
use storage::Reversed;
use wire::{Code, VolumeAdjustmentReversalCreate, VolumeAdjustmentView};

use crate::books::checking::explaining::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "reverse_volume_adjustment",
    method: Method::POST,
    path: "/v1/volume-adjustments/{volume_adjustment_id}/reversal",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::ReversedAlready],
};

/// Take an adjustment of volume back
///
/// It stays readable and counts no more; what it changed in posted weeks is given back by the next settlement. After that the
/// scale can be adjusted after the same check scale anew.
#[utoipa::path(
    tag = "check scales",
    operation_id = "reverse_volume_adjustment",
    params(("volume_adjustment_id" = VolumeAdjustmentId, Path, description = "The adjustment.")),
    request_body = VolumeAdjustmentReversalCreate,
    responses((status = 201, description = "Taken back.", body = VolumeAdjustmentView))
)]
#[post("/v1/volume-adjustments/{volume_adjustment_id}/reversal")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<VolumeAdjustmentId>,
    body: Body<VolumeAdjustmentReversalCreate>,
) -> Result<HttpResponse, Refusal> {
    let reason = body.0.reason;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let filed = books.volume_adjustments(None).await?;
            let found = filed.into_iter().find(|one| one.id == id.0);
            let mut found = found.ok_or_else(|| Refusal::not_found("volume adjustment", id.0))?;
            if let Some(Reversed { reason, made }) = &found.reversed {
                let detail = format!("{} took it back on {}: {reason}", made.by, made.at);
                return Err(Refusal::new(Code::ReversedAlready, detail));
            }
            let made = member.stamp(service.clock.as_ref());
            let reversed = Reversed { reason: reason.as_str().to_owned(), made };
            books.reverse_volume_adjustment(found.id, service.ids.make(), &reversed).await?;
            found.reversed = Some(reversed);
            Ok(Kept::new(found.id, view(found)))
        })
        .await
}
