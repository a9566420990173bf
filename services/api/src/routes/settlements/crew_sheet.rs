//! Shows a crew's part of a settlement, and how it was divided.

use std::collections::BTreeSet;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{CrewId, Money, SettlementId};
use serde::Deserialize;
use storage::{Outfit, SettlementDraft};
use utoipa::IntoParams;
use wire::{Code, CrewMember, CrewSheet, LineView, MemberPart, PaperFormat, PaperSize, SettlementState};

use super::show::{lines, volumes};
use crate::books::caution::CAUTION;
use crate::http::caller::Member;
use crate::http::on_paper::OnPaper;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_crew_sheet",
    method: Method::GET,
    path: "/v1/settlements/{settlement_id}/crews/{crew_id}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// In which form.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FormQuery {
    /// In which form: `json` when it is left out, `html`, or `pdf`.
    #[param(inline)]
    format: Option<PaperFormat>,
    /// With `pdf`: on which paper, `letter` when it is left out, or `a4`.
    #[param(inline)]
    paper: Option<PaperSize>,
}

/// Show a crew's part of a settlement, and how it was divided
///
/// Drafted or posted. Every line with each member's part of it; the parts add up to the line, and the members' totals to
/// the crew's. A crew that the settlement pays nothing has a sheet without lines. As `html` or `pdf` it is the sheet on
/// paper, with the same figures; one that is drafted says so.
#[utoipa::path(
    tag = "settlements",
    operation_id = "show_crew_sheet",
    params(
        ("settlement_id" = SettlementId, Path, description = "The settlement."),
        ("crew_id" = CrewId, Path, description = "The crew."),
        FormQuery
    ),
    responses((status = 200, description = "The crew's sheet, in the form that was asked for.",
               content((CrewSheet = "application/json"), (String = "text/html"), (String = "application/pdf"))))
)]
#[get("/v1/settlements/{settlement_id}/crews/{crew_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    place: InPath<(SettlementId, CrewId)>,
    query: InQuery<FormQuery>,
) -> Result<HttpResponse, Refusal> {
    let asked = OnPaper::asked(query.0.format, query.0.paper)?;
    let (settlement, crew) = place.0;
    let sheet = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let draft = books.settlement(settlement).await?;
            let draft = draft.ok_or_else(|| Refusal::not_found("settlement", settlement))?;
            let named = books.crew(crew).await?.ok_or_else(|| Refusal::not_found("crew", crew))?;
            sheet(&draft, crew, named.name, &outfit)
        })
        .await?;
    asked.answer(&sheet, papers::crew_sheet).await
}

fn sheet(
    draft: &SettlementDraft,
    crew: CrewId,
    crew_name: String,
    outfit: &Outfit,
) -> Result<CrewSheet, Refusal> {
    let mut lines = lines(draft)?;
    lines.retain(|line| line.crew_id == Some(crew));
    let contracts: BTreeSet<_> = lines.iter().map(|line| line.contract_id).collect();
    let mut volumes = volumes(draft)?;
    volumes.retain(|one| contracts.contains(&one.contract_id));
    let mut total = Money::zero(outfit.currency);
    for line in &lines {
        total = total.plus(line.amount)?;
    }
    Ok(CrewSheet {
        settlement_id: draft.id,
        week_ends_on: draft.week_ends_on,
        state: if draft.posting.is_some() { SettlementState::Posted } else { SettlementState::Draft },
        crew_id: crew,
        crew_name,
        outfit_name: outfit.name.clone(),
        members: members(&lines, outfit)?,
        lines,
        volumes,
        total,
        caution: CAUTION.to_owned(),
    })
}

/// Everybody to whom a part of a line falls.
fn members(lines: &[LineView], outfit: &Outfit) -> Result<Vec<CrewMember>, Refusal> {
    let mut members: Vec<CrewMember> = Vec::new();
    for line in lines {
        for share in &line.by_payee {
            let part = MemberPart { line_number: line.number, amount: share.amount };
            match members.iter_mut().find(|member| member.payee == share.payee) {
                Some(member) => {
                    member.total = member.total.plus(part.amount)?;
                    member.parts.push(part);
                }
                None => members.push(CrewMember {
                    payee: share.payee.clone(),
                    total: Money::zero(outfit.currency).plus(part.amount)?,
                    parts: vec![part],
                }),
            }
        }
    }
    Ok(members)
}
