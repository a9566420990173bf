//! Opens the books of a new outfit.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::tz::TimeZone;
use kernel::OutfitId;
use storage::{Outfit, Stamp};
use wire::{Code, FieldProblem, OutfitCreate, OutfitView, Role};

use super::show::view;
use crate::http::body::Body;
use crate::http::caller::Caller;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "open_outfit",
    method: Method::POST,
    path: "/v1/outfits",
    access: Access::Roles(&[Role::Operator]),
    effect: Effect::Keyed,
    refusals: &[],
};

/// Open the books of a new outfit
///
/// Only whoever runs the service may do this; afterwards the outfit's own manager does everything else.
#[utoipa::path(
    tag = "outfit",
    operation_id = "open_outfit",
    request_body = OutfitCreate,
    responses((status = 201, description = "The books are open.", body = OutfitView))
)]
#[post("/v1/outfits")]
pub async fn handle(
    caller: Caller,
    service: Data<Service>,
    filing: Filing,
    body: Body<OutfitCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .open(&service, &caller, async |books| {
            let made = Stamp { at: service.clock.now(), by: caller.subject().to_owned() };
            let outfit = opened(sent, books.outfit(), made)?;
            books.open_outfit(&outfit).await?;
            Ok(Kept::new(outfit.id, view(&outfit)))
        })
        .await
}

/// An outfit as it will stand in its books.
///
/// # Errors
///
/// [`Code::WrongForm`] for a time zone that is none.
pub fn opened(sent: OutfitCreate, id: OutfitId, made: Stamp) -> Result<Outfit, Refusal> {
    let time_zone = TimeZone::get(&sent.time_zone).map_err(|_| {
        let detail = format!("\"{}\" is not a name of the IANA time zone database", sent.time_zone);
        Refusal::new(Code::WrongForm, detail.clone())
            .at(vec![FieldProblem { pointer: "#/time_zone".to_owned(), detail }])
    })?;
    Ok(Outfit {
        id,
        name: sent.name.into(),
        currency: sent.currency,
        time_zone,
        week_ends_on: sent.week_ends_on.into(),
        cut_off: sent.cut_off_hours,
        made,
    })
}
