//! Shows a check scale with everything that comes of it.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use audit::{AllowedPercent, Confidence};
use kernel::CheckScaleId;
use serde::Deserialize;
use storage::{Books, CheckScaleState};
use utoipa::IntoParams;
use wire::{CheckScaleComparison, Code, Role};

use crate::books::checking::comparing::compared;
use crate::books::checking::effect::effect;
use crate::books::checking::sampling::Working;
use crate::books::checking::scaler_record::scaler_record;
use crate::books::checking::showing::{self, CAUTIONS, Precision};
use crate::books::checking::{Standard, explaining};
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{EVERYONE, Effect, Operation};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::contracts::show::sees;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_check_scale",
    method: Method::GET,
    path: "/v1/check-scales/{check_scale_id}",
    access: EVERYONE,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which confidence, in percent.
#[derive(Clone, Copy, Debug, Deserialize, utoipa::ToSchema)]
pub enum ConfidencePercent {
    /// Nine times in ten.
    #[serde(rename = "90")]
    Ninety,
    /// Nineteen times in twenty.
    #[serde(rename = "95")]
    NinetyFive,
    /// Ninety-nine times in a hundred.
    #[serde(rename = "99")]
    NinetyNine,
}

/// How sure one wants to be, and how much is shown.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ComparisonQuery {
    /// The confidence of every interval, in percent: `90`, `95` or `99`; 95 when it is left out.
    #[param(inline)]
    confidence: Option<ConfidencePercent>,
    /// The error that the advice on the size of the sample allows, in percent of the ratio; 2.5 when it is left out.
    #[param(value_type = Option<String>, example = "2.5")]
    allowed_error: Option<AllowedPercent>,
    /// Whether every step from the readings to the net scale is shown, on both sides.
    working: Option<bool>,
}

/// Show a check scale with everything that comes of it
///
/// Both scales side by side, under the terms that hold for each ticket's day; the ratio of their sums with its standard error
/// and interval; how large a sample would have to be; what the contract's tolerance makes of it; the scaler's running
/// record; and what it comes to in money, which a scaler is not shown. It is worked out anew each time. A ticket that was
/// corrected since is compared as it was checked, and says so. A mill sees check scales of its own contracts only.
#[utoipa::path(
    tag = "check scales",
    operation_id = "show_check_scale",
    params(("check_scale_id" = CheckScaleId, Path, description = "The check scale."), ComparisonQuery),
    responses((status = 200, description = "The comparison.", body = CheckScaleComparison))
)]
#[get("/v1/check-scales/{check_scale_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<CheckScaleId>,
    query: InQuery<ComparisonQuery>,
) -> Result<Json<CheckScaleComparison>, Refusal> {
    let query = query.0;
    let allowed = query.allowed_error.map(AllowedPercent::fixed);
    if allowed.is_some_and(kernel::Fixed::is_zero) {
        return Err(Refusal::new(Code::WrongAddress, "`allowed_error` is nothing: no sample is that good"));
    }
    let precision = Precision {
        confidence: match query.confidence {
            Some(ConfidencePercent::Ninety) => Confidence::Ninety,
            Some(ConfidencePercent::NinetyNine) => Confidence::NinetyNine,
            Some(ConfidencePercent::NinetyFive) => Confidence::NinetyFive,
            None => Precision::USUAL.confidence,
        },
        allowed_percent: allowed.unwrap_or(Precision::USUAL.allowed_percent),
    };
    let working = if query.working.unwrap_or_default() { Working::Kept } else { Working::Dropped };
    let shown = service
        .read(&member, async |books| {
            let state = find(books, &member, id.0).await?;
            comparison(books, &member, &state, precision, working).await
        })
        .await?;
    Ok(Json(shown))
}

/// The check scale with this id, if the caller may see it.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn find(books: &mut Books, member: &Member, id: CheckScaleId) -> Result<CheckScaleState, Refusal> {
    let missing = || Refusal::not_found("check scale", id);
    let state = books.check_scale(id).await?.ok_or_else(missing)?;
    let contract = books.contract(state.record.contract).await?.ok_or_else(missing)?;
    if sees(member, &contract) { Ok(state) } else { Err(missing()) }
}

async fn comparison(
    books: &mut Books,
    member: &Member,
    state: &CheckScaleState,
    precision: Precision,
    working: Working,
) -> Result<CheckScaleComparison, Refusal> {
    let compared = compared(books, &state.record, working).await?;
    let pieces = showing::pieces(&compared);
    let mut shown = CheckScaleComparison {
        check_scale: showing::check_scale(state, &compared.standard.contract)?,
        strata: showing::strata(&compared, precision)?,
        points: showing::points(&compared),
        confidence_percent: precision.confidence.percent(),
        corrected_since: pieces.iter().filter(|piece| piece.corrected_by.is_some()).count(),
        pieces,
        verdict: compared.verdict.view(),
        scaler_record: scaler_record(books, &state.record, member.mill.is_some()).await?,
        money: None,
        adjustments: Vec::new(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    };
    // Pay is not the scaler's business.
    if member.role != Role::Scaler {
        let outfit = own(books).await?;
        let Standard { contract, .. } = &compared.standard;
        let party = Names::read(books).await?.party(contract.party);
        shown.money = Some(effect(&compared, &outfit, &party)?.money);
        let filed = books.volume_adjustments(Some(state.record.id)).await?;
        shown.adjustments = filed.into_iter().map(explaining::view).collect();
    }
    Ok(shown)
}
