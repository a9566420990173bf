//! Lists scalers' certificates.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use serde::Deserialize;
use storage::{CertificateFilter, ScalerCertificate};
use utoipa::IntoParams;
use wire::{Listing, ScalerCertificateView};

use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::name_if_any;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_scaler_certificates",
    method: Method::GET,
    path: "/v1/scaler-certificates",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which certificates.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct CertificateQuery {
    /// Of this scaler, as the name stands on tickets.
    scaler: Option<String>,
    /// Good for this day.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    on: Option<Date>,
}

/// List scalers' certificates, oldest filed first
#[utoipa::path(
    tag = "people",
    operation_id = "list_scaler_certificates",
    params(CertificateQuery, PageQuery),
    responses((status = 200, description = "A page of certificates.", body = Listing<ScalerCertificateView>))
)]
#[get("/v1/scaler-certificates")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<CertificateQuery>,
) -> Result<Shown<Listing<ScalerCertificateView>>, Refusal> {
    let page = list.page()?;
    let scaler = name_if_any("scaler", list.filter.scaler.as_ref())?;
    let filter = CertificateFilter { scaler, on: list.filter.on };
    let found = service
        .read(&member, async |books| Ok::<_, Refusal>(books.scaler_certificates(&filter, page).await?))
        .await?;
    let items = found.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &ScalerCertificateView| item.scaler_certificate_id))
}

/// A certificate as it is shown.
pub fn view(one: ScalerCertificate) -> ScalerCertificateView {
    ScalerCertificateView {
        scaler_certificate_id: one.id,
        scaler: one.scaler,
        certificate: one.certificate,
        issued_by: one.issued_by,
        valid_from: one.valid_from,
        valid_to: one.valid_to,
        made_by: one.made.by,
        made_at: one.made.at,
    }
}
