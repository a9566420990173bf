//! Drafts the settlement of a week.

use std::collections::BTreeSet;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::civil::Date;
use kernel::SettlementId;
use settlement::{Line, Pay};
use storage::{Books, Outfit, SettlementDraft};
use wire::{Code, SettlementCreate, SettlementView};

use super::show::whole;
use crate::books::drafting::{Computed, check_week_end, compute};
use crate::books::restating::{Reach, days_to_state, states};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
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
    refusals: &[
        Code::NotAWeekEnd,
        Code::WeekPosted,
        Code::NoShareSet,
        Code::NoHours,
        Code::UnpricedTime,
        Code::TooLarge,
        Code::NotFound,
    ],
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
    let SettlementCreate { week_ends_on: week, whole_history } = body.0;
    let reach = if whole_history { Reach::WholeHistory } else { Reach::Changed };
    filing
        .keep(&service, &member, async |books| {
            // One moment of the books, although they are read by several queries.
            books.close_to_others(&service.ids).await?;
            let outfit = own(books).await?;
            check_week_end(&outfit, week)?;
            check_open(books, week).await?;
            let Computed { shown, lines, pays } = compute(books, &outfit, week, reach).await?;
            let id = service.ids.make();
            if whole_history {
                note_beyond(books, &outfit, week, (&lines, &pays), id).await?;
            }
            let draft = SettlementDraft {
                id,
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

/// Writes down the weeks of which the whole history found something that nobody had written down: from now on they are
/// stated until a week is posted, so what was found can be posted.
async fn note_beyond(
    books: &mut Books,
    outfit: &Outfit,
    week: Date,
    (lines, pays): (&[Line], &[Pay]),
    id: SettlementId,
) -> Result<(), Refusal> {
    let stated = days_to_state(books, outfit, week, Reach::Changed).await?;
    let added = pays.iter().flat_map(|pay| &pay.supplements).map(|line| line.key.week);
    let beyond: BTreeSet<Date> =
        lines.iter().map(|line| line.key.week).chain(added).filter(|one| !states(&stated, *one)).collect();
    for one in beyond {
        tracing::error!(week = %one, "a posted week is not as it was posted, and nothing says why");
        books.add_late_change((one, one), id).await?;
    }
    Ok(())
}

/// Refuses a week that is closed.
///
/// # Errors
///
/// [`Code::WeekPosted`].
pub async fn check_open(books: &mut Books, week: jiff::civil::Date) -> Result<(), Refusal> {
    match books.latest_posted_week().await? {
        Some(latest) if latest >= week => {
            let detail =
                format!("the week that ended on {latest} was posted; earlier weeks are closed with it");
            Err(Refusal::new(Code::WeekPosted, detail))
        }
        _ => Ok(()),
    }
}
