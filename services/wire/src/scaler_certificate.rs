//! Scalers' certificates.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::ScalerCertificateId;
use serde::{Deserialize, Serialize};

use crate::Name;
use crate::columns::columns;

/// Files what a scaler may show for himself: a licence, a certificate of a scaling school. Who may scale for pay is
/// for local law to say; no ticket is refused for the lack of one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerCertificateCreate {
    /// The scaler, by the name that stands on tickets.
    pub scaler: Name,
    /// What is on it: its kind, its number.
    pub certificate: Name,
    /// Who gave it.
    pub issued_by: Name,
    /// The first day it is good for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub valid_from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub valid_to: Date,
}

/// A scaler's certificate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScalerCertificateView {
    /// Its id.
    pub scaler_certificate_id: ScalerCertificateId,
    /// The scaler, by the name that stands on tickets.
    pub scaler: String,
    /// What is on it.
    pub certificate: String,
    /// Who gave it.
    pub issued_by: String,
    /// The first day it is good for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub valid_from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub valid_to: Date,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(ScalerCertificateView: one {
    "scaler_certificate_id" => one.scaler_certificate_id,
    "scaler" => one.scaler,
    "certificate" => one.certificate,
    "issued_by" => one.issued_by,
    "valid_from" => one.valid_from,
    "valid_to" => one.valid_to,
    "made_by" => one.made_by,
    "made_at" => one.made_at,
});
