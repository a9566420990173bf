//! Drafts the settlement of a week.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Books, SettlementDraft};
use wire::{Code, SettlementCreate, SettlementView};

use super::show::whole;
use crate::books::drafting::{Computed, check_week_end, compute};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, BOOKKEEPING, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "draft_settlement",
    method: Method::POST,
    path: "/v1/settlements",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotAWeekEnd, Code::WeekPosted, Code::NoShareSet, Code::NoHours, Code::UnpricedTime, Code::TooLarge, Code::NotFound],
};

/// Draft the settlement of a week
///
/// Computes what everybody has coming as the books stand now, and what keeps the week from being posted. Nothing is
/// paid by it; draft as often as you like.
#[utoipa::path(
    tag = "settlements",
    operation_id = "draft_settlement",
    request_body = SettlementCreate,
    responses((status = 201, description = "The draft.", body = SettlementView))
)]
#[post("/v1/settlements")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<SettlementCreate>,
) -> Result<HttpResponse, Refusal> {
    let week = body.0.week_ends_on;
    filing.keep(&service, &member, async |books| {
            // One moment of the books, although they are read by several queries.
            books.close_to_others().await?;
            let outfit = own(books).await?;
            check_week_end(&outfit, week)?;
            check_open(books, week).await?;
            let Computed { shown, .. } = compute(books, &outfit, week).await?;
            let draft = SettlementDraft {
                id: service.ids.make(),
                week_ends_on: week,
                fingerprint: shown.fingerprint()?,
                lines: serde_json::to_value(&shown.lines).map_err(Refusal::internal)?,
                pays: serde_json::to_value(&shown.pays).map_err(Refusal::internal)?,
                volumes: serde_json::to_value(&shown.volumes).map_err(Refusal::internal)?,
                drafted: member.stamp(service.clock.as_ref()),
                posting: None,
            };
            books.add_draft(&draft).await?;
            Ok(Kept::new(draft.id, whole(books, &draft, &outfit).await?))
        })
        .await
}

/// Refuses a week that is closed.
///
/// # Errors
///
/// [`Code::WeekPosted`].
pub async fn check_open(books: &mut Books, week: jiff::civil::Date) -> Result<(), Refusal> {
    match books.latest_posted_week().await? {
        Some(latest) if latest >= week => {
            let detail = format!("the week that ended on {latest} was posted; earlier weeks are closed with it");
            Err(Refusal::new(Code::WeekPosted, detail))
        }
        _ => Ok(()),
    }
}
