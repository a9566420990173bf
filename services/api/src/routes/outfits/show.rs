//! Shows the caller's own outfit.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use storage::{Books, Outfit};
use wire::{Code, OutfitView};

use crate::http::caller::Member;
use crate::http::operation::{EVERYONE, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_outfit",
    method: Method::GET,
    path: "/v1/outfit",
    access: EVERYONE,
    effect: Effect::None,
    refusals: &[],
};

/// Show your outfit
#[utoipa::path(
    tag = "outfit",
    operation_id = "show_outfit",
    responses((status = 200, description = "The outfit.", body = OutfitView))
)]
#[get("/v1/outfit")]
pub async fn handle(member: Member, service: Data<Service>) -> Result<Json<OutfitView>, Refusal> {
    let outfit = service.read(&member, async |books| own(books).await).await?;
    Ok(Json(view(&outfit)))
}

/// The outfit whose books are open.
///
/// # Errors
///
/// [`Code::TokenRefused`] when the token names an outfit that is not there.
pub async fn own(books: &mut Books) -> Result<Outfit, Refusal> {
    books
        .own_outfit()
        .await?
        .ok_or_else(|| Refusal::new(Code::TokenRefused, "the access token names an outfit that is not there"))
}

/// An outfit as it is shown.
pub fn view(outfit: &Outfit) -> OutfitView {
    OutfitView {
        outfit_id: outfit.id,
        name: outfit.name.clone(),
        currency: outfit.currency,
        time_zone: outfit.time_zone.iana_name().unwrap_or("UTC").to_owned(),
        week_ends_on: outfit.week_ends_on.into(),
        cut_off_hours: outfit.cut_off,
        made_at: outfit.made.at,
    }
}
