//! Files how a crew divides its pay from a date on.

use std::collections::BTreeSet;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::{CrewId, Fixed};
use settlement::ShareMethod;
use storage::{Share, ShareSet};
use wire::{Code, FieldProblem, ShareSetCreate, ShareSetView};

use super::list::share_set_view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_share_set",
    method: Method::POST,
    path: "/v1/crews/{crew_id}/share-sets",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::NamesMissingRecord],
};

/// File how a crew divides its pay from a date on
///
/// Whoever works alone is a crew of one. Filing for days past changes weeks already posted by an adjustment in the
/// open week.
#[utoipa::path(
    tag = "people",
    operation_id = "file_share_set",
    params(("crew_id" = CrewId, Path, description = "The crew.")),
    request_body = ShareSetCreate,
    responses((status = 201, description = "Filed.", body = ShareSetView))
)]
#[post("/v1/crews/{crew_id}/share-sets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    crew: InPath<CrewId>,
    body: Body<ShareSetCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    check(&sent)?;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            if books.crew(crew.0).await?.is_none() {
                return Err(Refusal::not_found("crew", crew.0));
            }
            let mut set = record(&sent, crew.0, &service, &member);
            set.revision = books.add_share_set(&set).await?;
            Ok(Kept::new(set.id, share_set_view(&set)))
        })
        .await
}

/// The share set, with an id that is made while the books are held: ids tell what was filed before a week was posted.
fn record(sent: &ShareSetCreate, crew: CrewId, service: &Service, member: &Member) -> ShareSet {
    ShareSet {
        id: service.ids.make(),
        crew,
        effective_from: sent.effective_from,
        revision: 0,
        method: sent.method,
        shares: sent
            .shares
            .iter()
            .map(|one| Share { worker: one.worker_id, parts: one.parts.unwrap_or(ONE) })
            .collect(),
        made: member.stamp(service.clock.as_ref()),
    }
}

/// What stands for the parts of whoever has none of his own.
const ONE: Fixed = Fixed::from_millionths(Fixed::STEPS_PER_UNIT);

fn check(sent: &ShareSetCreate) -> Result<(), Refusal> {
    let mut problems = Vec::new();
    let mut add = |pointer: String, detail: &str| {
        problems.push(FieldProblem { pointer, detail: detail.to_owned() });
    };
    if sent.shares.is_empty() || sent.shares.len() > 1_000 {
        add("#/shares".to_owned(), "a crew has 1 to 1,000 members");
    }
    let mut seen = BTreeSet::new();
    for (place, share) in sent.shares.iter().enumerate() {
        let pointer = format!("#/shares/{place}/parts");
        match (sent.method, share.parts) {
            (ShareMethod::Parts, None) => add(pointer, "write the parts of each member, or another method"),
            (ShareMethod::Parts, Some(parts)) if parts <= Fixed::ZERO => {
                add(pointer, "a part is above zero; leave out who has none");
            }
            (ShareMethod::Equally | ShareMethod::ByHours, Some(_)) => {
                add(pointer, "members have no parts of their own by this method: leave them out");
            }
            _ => {}
        }
        if !seen.insert(share.worker_id) {
            add(format!("#/shares/{place}/worker_id"), "this worker stands in the list already");
        }
    }
    if problems.is_empty() {
        return Ok(());
    }
    Err(Refusal::new(Code::WrongForm, "the shares cannot divide anything").at(problems))
}
