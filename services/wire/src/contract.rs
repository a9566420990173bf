//! Contracts and their terms.

use audit::CheckTolerance;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId, MillId, TermsId};
use scaling::{Practice, SentPractice};
use serde::{Deserialize, Serialize};
use settlement::{HoldbackTerms, Rate, Rates};

use crate::Name;
use crate::columns::columns;

/// The other party of a contract, and with it the direction of the money.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Party {
    /// We pay this crew.
    CrewId(CrewId),
    /// This mill pays us.
    MillId(MillId),
}

/// Files a contract with its first terms.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ContractCreate {
    /// What people call it.
    pub title: Name,
    /// The job it is for. A party has one contract on a job.
    pub job_id: JobId,
    /// With whom: a crew whom we pay, or a mill that pays us.
    pub party: Party,
    /// What it says.
    pub terms: TermsCreate,
}

/// What a contract says from a date on. An amendment is new terms; old terms stay readable.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsCreate {
    /// The first day they hold for. Tickets scaled on that day or later are worked out again under them; what that
    /// changes in weeks already posted comes as an adjustment in the open week.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub effective_from: Date,
    /// How timber is scaled under them. One of the outfit's own log tables is named by its `table_id`; the terms then
    /// hold that version of it whole.
    #[cfg_attr(feature = "openapi", schema(value_type = Practice))]
    pub practice: SentPractice,
    /// What is paid. No two rates may cover the same piece.
    pub rates: Vec<Rate>,
    /// What of each member's pay under them is held back until it is let go; only with a crew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holdback: Option<HoldbackTerms>,
    /// How far a check scale may lie from the scale it checks, and what follows beyond; the contract's words decide.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check_tolerance: Option<CheckTolerance>,
}

/// Terms as they were filed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsView {
    /// Their id.
    pub terms_id: TermsId,
    /// The first day they hold for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub effective_from: Date,
    /// Counts up with each terms filed for the contract; of two for the same day the higher one holds.
    pub revision: i32,
    /// How timber is scaled under them, with every default spelled out.
    pub practice: Practice,
    /// What is paid.
    #[cfg_attr(feature = "openapi", schema(value_type = Vec<settlement::Rate>))]
    pub rates: Rates,
    /// What of each member's pay under them is held back until it is let go.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holdback: Option<HoldbackTerms>,
    /// How far a check scale may lie from the scale it checks, and what follows beyond.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check_tolerance: Option<CheckTolerance>,
    /// Who filed them.
    pub filed_by: String,
    /// When they were filed.
    pub filed_at: Timestamp,
}

/// A contract with every terms filed for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ContractView {
    /// Its id.
    pub contract_id: ContractId,
    /// What people call it.
    pub title: String,
    /// The job it is for.
    pub job_id: JobId,
    /// With whom.
    pub party: Party,
    /// When it was filed.
    pub made_at: Timestamp,
    /// Its terms, in the order of filing.
    pub terms: Vec<TermsView>,
}

/// Terms that were just filed, and what filing them did.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsFiled {
    /// The terms.
    pub terms: TermsView,
    /// Holes between the bands of otherwise equal rates: pieces in them will be unpriced. A report, not a refusal.
    pub gaps: Vec<String>,
    /// How many tickets already accepted were worked out again under them.
    pub tickets_worked_out_again: u32,
}

columns!(ContractView: contract for terms in contract.terms.iter(), {
    "contract_id" => contract.contract_id,
    "title" => contract.title,
    "job_id" => contract.job_id,
    "crew_id" => contract.party.crew(),
    "mill_id" => contract.party.mill(),
    "made_at" => contract.made_at,
    "terms_id" => terms.map(|terms| terms.terms_id),
    "effective_from" => terms.map(|terms| terms.effective_from),
    "revision" => terms.map(|terms| terms.revision),
    "rates" => terms.map(|terms| terms.rates.as_slice().len()),
    "filed_by" => terms.map(|terms| terms.filed_by.as_str()),
    "filed_at" => terms.map(|terms| terms.filed_at),
});

impl Party {
    /// The crew, if it is one.
    #[must_use]
    pub const fn crew(self) -> Option<CrewId> {
        match self {
            Self::CrewId(crew) => Some(crew),
            Self::MillId(_) => None,
        }
    }

    /// The mill, if it is one.
    #[must_use]
    pub const fn mill(self) -> Option<MillId> {
        match self {
            Self::CrewId(_) => None,
            Self::MillId(mill) => Some(mill),
        }
    }
}
