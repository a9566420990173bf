//! Volume held against pay.

use jiff::civil::Date;
use kernel::{ContractId, Exact, Fixed, Money, Product, TermsId, VolumeUnit};
use serde::{Deserialize, Serialize};
use settlement::{Basis, RateUnit, Task};

use crate::{MadeOf, Margin, Party, PayeeView, StageRow, StageWeek};

/// The volume of one kind of timber under a contract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AuditVolumeRow {
    /// What the pieces are.
    pub product: Product,
    /// Their species.
    pub species: String,
    /// How many.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// The unit of the volumes; absent for pieces without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
    /// The share of the gross scale that defect took, exactly; absent where there is no gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_share: Option<Exact>,
    /// The tickets that it is the sum of; empty in settlements.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made_of: Vec<MadeOf>,
}

/// The pay under one rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AuditPayRow {
    /// The terms that the rate stands in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terms_id: Option<TermsId>,
    /// The rate's place in its terms, from 1.
    pub rate_number: u16,
    /// The rate's name.
    pub rate_name: String,
    /// The task it pays.
    pub task: Task,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit.
    pub price: Fixed,
    /// What standing tickets add up to, in the unit that is counted.
    pub quantity: Fixed,
    /// How many pieces that is.
    pub pieces: i64,
    /// What that earns, week by week.
    pub earned: Money,
    /// What was posted for it.
    pub posted: Money,
    /// What is still to come: earned less posted.
    pub open: Money,
    /// The tickets and hours that were earned on, and each posted line; for a mill, its statements with such a line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made_of: Vec<MadeOf>,
}

/// One contract's volume and pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ContractAudit {
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// With whom: a crew whom we pay, or a mill that pays us.
    pub party: Party,
    /// The party's name.
    pub party_name: String,
    /// The volume, by product and species, scaled as this contract says.
    pub volumes: Vec<AuditVolumeRow>,
    /// The pay, by rate.
    pub pay: Vec<AuditPayRow>,
    /// Earned in all.
    pub earned: Money,
    /// Posted in all.
    pub posted: Money,
    /// Still to come in all.
    pub open: Money,
}

/// What one payee earned in the span, and what became of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayeeAudit {
    /// The worker, or the mill, whose figures are what it owes and what it handed over.
    pub payee: PayeeView,
    /// The payee's part of what the contracts below come to for the weeks of the span. Make-up, premiums and what is kept
    /// back are not in it: they are on the statements.
    pub earned: Money,
    /// The payee's part of what was posted for those weeks.
    pub posted: Money,
    /// Earned less posted.
    pub open: Money,
    /// What was paid out on the days of the span, whatever it was for; without payments that were taken back.
    pub paid: Money,
    /// What the payee's account stands at when the span ends, by the days of the journal and for everything up to then: above
    /// zero it is owed to a worker, or by a mill. A payment that was taken back later still counts here.
    pub balance: Money,
    /// Payments, statements and balances.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made_of: Vec<MadeOf>,
}

/// Volume against pay over a span of days, contract by contract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VolumeAgainstPay {
    /// The first day. Widened to whole settlement weeks, since pay is rounded by the week.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last day. Widened likewise.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// Each contract that any ticket of those days touches.
    pub contracts: Vec<ContractAudit>,
    /// Earned by crews in all; absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earned_by_crews: Option<Money>,
    /// Owed by mills in all.
    pub owed_by_mills: Money,
    /// How many tasks on standing tickets nothing pays for yet; absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unpriced: Option<u32>,
    /// The wood at each stage, in the order of the work; for a mill, what was delivered to it. Each row is on one
    /// contract's scale.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stages: Vec<StageRow>,
    /// The same week by week; weeks in which nothing was scaled are left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weeks: Vec<StageWeek>,
    /// How it is chosen on whose scale a row stands.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub stages_say: String,
    /// What each payee earned, and what was paid. Absent where one job or a mill's contract is asked about: payments are
    /// to people, not for jobs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub payees: Vec<PayeeAudit>,
    /// The mill's side beside the crews' on the wood that was delivered, with the cost of each task per thousand; of the
    /// tickets that the crew worked on where one is named. Absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin: Option<Margin>,
}
