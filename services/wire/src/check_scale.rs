//! Check scales: a sample that somebody else scales again.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CheckScaleId, ContractId, JobId, ScalerCertificateId, TicketId};
use scaling::Piece;
use serde::{Deserialize, Serialize};

use crate::columns::columns;
use crate::{Name, Remark};

/// What the scaler knew of the check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CheckNotice {
    /// Nothing; and the checker did not see the first scale.
    Blind,
    /// Nothing.
    Unannounced,
    /// That it would be made.
    Announced,
}

impl CheckNotice {
    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(wire::CheckNotice::Blind.name(), "blind");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Blind => "blind",
            Self::Unannounced => "unannounced",
            Self::Announced => "announced",
        }
    }
}

/// What the checker found of a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PieceFound {
    /// It is there and was scaled again.
    ScaledAgain {
        /// Its number on the ticket, from 1.
        piece: u16,
        /// What the checker measured, by himself: species and grade may differ. A piece of another product is one missing and
        /// one too many.
        facts: Piece,
    },
    /// It stands on the ticket and is not there.
    Missing {
        /// Its number on the ticket, from 1.
        piece: u16,
    },
    /// It is there and does not stand on the ticket.
    OneTooMany {
        /// What the checker measured.
        facts: Piece,
    },
}

/// A piece of the sample.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckedPieceCreate {
    /// The ticket it stands on, or the one in whose pile it was found.
    pub ticket_id: TicketId,
    /// What was found of it.
    pub found: PieceFound,
}

/// Files a check scale: a sample of a lot, measured once more by somebody who is not its scaler, and under the same
/// conditions. Both scales go by the contract's practice and rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckScaleCreate {
    /// The contract whose scale is checked.
    pub contract_id: ContractId,
    /// The first day of the lot: the sample stands for everything that was scaled under the contract on its days.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub to: Date,
    /// Only what this scaler scaled, by the name that stands on tickets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaler: Option<Name>,
    /// The day of the check.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub checked_on: Date,
    /// Who scaled again.
    pub checker: Name,
    /// What the scaler knew of it. Blind or unannounced checks are preferred (U.S. Forest Service).
    pub notice: CheckNotice,
    /// The sample, in the order it was scaled.
    pub pieces: Vec<CheckedPieceCreate>,
    /// Remarks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<Remark>,
}

/// A check scale, without what comes of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CheckScaleView {
    /// Its id.
    pub check_scale_id: CheckScaleId,
    /// The contract whose scale is checked.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// Its job.
    pub job_id: JobId,
    /// The first day of the lot.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// The scaler that the lot is limited to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot_scaler: Option<String>,
    /// Whose scale is checked; absent where the sampled tickets are of several scalers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaler: Option<String>,
    /// The day of the check.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub checked_on: Date,
    /// Who scaled again.
    pub checker: String,
    /// The checker's certificate for that day, if one was filed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checker_certificate_id: Option<ScalerCertificateId>,
    /// What the scaler knew of it.
    pub notice: CheckNotice,
    /// How many pieces were sampled, those that are missing or one too many among them.
    pub sampled: usize,
    /// Remarks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(CheckScaleView: one {
    "check_scale_id" => one.check_scale_id,
    "contract_id" => one.contract_id,
    "contract_title" => one.contract_title,
    "job_id" => one.job_id,
    "from" => one.from,
    "to" => one.to,
    "lot_scaler" => one.lot_scaler,
    "scaler" => one.scaler,
    "checked_on" => one.checked_on,
    "checker" => one.checker,
    "checker_certificate_id" => one.checker_certificate_id,
    "notice" => one.notice.name(),
    "sampled" => one.sampled,
    "remarks" => one.remarks,
    "made_by" => one.made_by,
    "made_at" => one.made_at,
});
