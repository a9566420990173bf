//! Files a mill tally.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{MillTally, MillTallyState};
use wire::{Code, FieldProblem, MillTallyCreate, MillTallyView};

use crate::books::outside::overrun::{TallyNames, view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_mill_tally",
    method: Method::POST,
    path: "/v1/mill-tallies",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// File what a mill sawed
///
/// The lumber out of the logs that were delivered to the mill and scaled on these days. It is held against their scale
/// whenever overrun is asked for. A tally never changes: a wrong one is taken back, and another is filed.
#[utoipa::path(
    tag = "audit",
    operation_id = "file_mill_tally",
    request_body = MillTallyCreate,
    responses((status = 201, description = "Filed.", body = MillTallyView))
)]
#[post("/v1/mill-tallies")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<MillTallyCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    if sent.to < sent.from {
        let detail = format!("{} is before {}: exchange them", sent.to, sent.from);
        let problem = FieldProblem { pointer: "#/to".to_owned(), detail };
        return Err(Refusal::new(Code::WrongForm, "the tally ends before it begins").at(vec![problem]));
    }
    let lines = sent.lumber.lines().into_iter();
    let tally = MillTally {
        id: service.ids.make(),
        mill: sent.mill_id,
        job: sent.job_id,
        first_day: sent.from,
        last_day: sent.to,
        lumber: lines.map(|(species, feet)| (species.map(ToString::to_string), feet)).collect(),
        lumber_state: sent.lumber_state,
        tallied_by: sent.tallied_by.into(),
        remarks: sent.remarks.map(String::from),
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            books.add_mill_tally(&tally).await?;
            let names = TallyNames::read(books).await?;
            let id = tally.id;
            Ok(Kept::new(id, view(MillTallyState { tally, withdrawn: None }, &names)?))
        })
        .await
}
