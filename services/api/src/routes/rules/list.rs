//! Lists the log rules.

use actix_web::get;
use actix_web::http::Method;
use scaling::RuleName;
use wire::{RuleList, RuleView};

use crate::http::listing::{FormatQuery, InWhole, NoFilter, Shown};
use crate::http::operation::{Access, Effect, Operation};

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_rules",
    method: Method::GET,
    path: "/v1/rules",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[],
};

/// List the log rules
///
/// Every rule a contract or a request can name: what it measures, its formula, range, rounding, editions, where it is
/// law or custom, where it is published, and whether it is recalled and was never checked against print. All come on
/// one page.
#[utoipa::path(
    tag = "scale",
    operation_id = "list_rules",
    params(FormatQuery),
    responses((status = 200, description = "The rules.", body = RuleList))
)]
#[get("/v1/rules")]
pub async fn handle(list: InWhole<NoFilter>) -> Shown<RuleList> {
    let items = RuleName::ALL.iter().map(|rule| RuleView::from(rule.facts())).collect();
    list.answer(RuleList { items })
}
