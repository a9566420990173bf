//! Gives a sheet for tickets to begin with.

use actix_web::http::Method;
use actix_web::{HttpResponse, get};

use crate::books::sheet::template;
use crate::http::operation::{Access, Effect, Operation};

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "ticket_sheet_template",
    method: Method::GET,
    path: "/v1/ticket-sheets/template",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[],
};

/// A sheet for tickets to begin with
///
/// Its one row names the columns that most tickets need; `post_ticket_sheet` says what belongs in each, and which others
/// there are.
#[utoipa::path(
    tag = "tickets",
    operation_id = "ticket_sheet_template",
    responses((status = 200, description = "The sheet.", body = String, content_type = "text/csv"))
)]
#[get("/v1/ticket-sheets/template")]
pub async fn handle() -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8")
        .insert_header(("Content-Disposition", "attachment; filename=\"tickets.csv\""))
        .body(template())
}
