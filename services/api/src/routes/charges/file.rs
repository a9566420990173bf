//! Charges a worker.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Charge, ChargeState};
use wire::{ChargeCreate, ChargeView, Code, FieldProblem};

use super::list::view;
use crate::books::money::amount;
use crate::books::names::Names;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_charge",
    method: Method::POST,
    path: "/v1/charges",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// Charge a worker
///
/// It is taken from his pay as far as that goes, the older charges first; what the pay does not allow is carried
/// forward.
#[utoipa::path(
    tag = "pay",
    operation_id = "file_charge",
    request_body = ChargeCreate,
    responses((status = 201, description = "Recorded.", body = ChargeView))
)]
#[post("/v1/charges")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<ChargeCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    check_minimum(&sent)?;
    filing
        .keep(&service, &member, async |books| {
            books.enter_records(&service.ids).await?;
            let outfit = own(books).await?;
            let most = sent.most_a_week.map(|most| amount(most, &outfit, "#/most_a_week")).transpose()?;
            let charge = Charge {
                id: service.ids.make(),
                worker: sent.worker_id,
                dated: sent.dated,
                kind: sent.kind,
                says: sent.says.into(),
                amount_minor: amount(sent.amount, &outfit, "#/amount")?.minor(),
                most_a_week_minor: most.map(kernel::Money::minor),
                cuts_into_minimum: sent.cuts_into_minimum,
                made: member.stamp(service.clock.as_ref()),
            };
            books.add_charge(&charge).await?;
            let (id, state) = (charge.id, ChargeState { charge, taken_minor: 0, reversed: None });
            Ok(Kept::new(id, view(state, &outfit, &Names::read(books).await?)))
        })
        .await
}

/// Nothing but board and lodging may be said to cut into the minimum.
fn check_minimum(sent: &ChargeCreate) -> Result<(), Refusal> {
    if !sent.cuts_into_minimum || sent.kind.may_cut_into_minimum() {
        return Ok(());
    }
    let detail = format!(
        "a charge of the kind {} cannot cut into the minimum, only board and lodging can: leave this out",
        sent.kind.name()
    );
    let problem = FieldProblem { pointer: "#/cuts_into_minimum".to_owned(), detail };
    Err(Refusal::new(Code::WrongForm, "the charge asks for more than its kind allows").at(vec![problem]))
}
