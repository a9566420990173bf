//! Volume held against pay.

use jiff::civil::Date;
use kernel::{ContractId, Exact, Fixed, Money, Product, VolumeUnit};
use serde::{Deserialize, Serialize};
use settlement::{Basis, RateUnit, Task};

use crate::Party;

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
}

/// The pay under one rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AuditPayRow {
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
}
