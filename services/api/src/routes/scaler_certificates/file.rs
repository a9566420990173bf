//! Files a scaler's certificate.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::ScalerCertificate;
use wire::{Code, FieldProblem, ScalerCertificateCreate, ScalerCertificateView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_scaler_certificate",
    method: Method::POST,
    path: "/v1/scaler-certificates",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[],
};

/// File a scaler's certificate
///
/// From then on every ticket of his tells whether he held one on its day. Nothing is refused for the lack of it: who may
/// scale for pay is for local law and its licensing to say.
#[utoipa::path(
    tag = "people",
    operation_id = "file_scaler_certificate",
    request_body = ScalerCertificateCreate,
    responses((status = 201, description = "Filed.", body = ScalerCertificateView))
)]
#[post("/v1/scaler-certificates")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<ScalerCertificateCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    if sent.valid_to < sent.valid_from {
        let detail = format!("{} is before {}: exchange them", sent.valid_to, sent.valid_from);
        let problem = FieldProblem { pointer: "#/valid_to".to_owned(), detail };
        let says = "the certificate ends before it begins";
        return Err(Refusal::new(Code::WrongForm, says).at(vec![problem]));
    }
    filing
        .keep(&service, &member, async |books| {
            // Of two for one day the one filed later is shown, and which it is the ids tell.
            books.go_on(&service.ids).await?;
            let certificate = ScalerCertificate {
                id: service.ids.make(),
                scaler: sent.scaler.into(),
                certificate: sent.certificate.into(),
                issued_by: sent.issued_by.into(),
                valid_from: sent.valid_from,
                valid_to: sent.valid_to,
                made: member.stamp(service.clock.as_ref()),
            };
            books.add_scaler_certificate(&certificate).await?;
            Ok(Kept::new(certificate.id, view(certificate)))
        })
        .await
}
