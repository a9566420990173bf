//! What the mill owes for the wood, held against what crews earn on the same wood.

use jiff::civil::Date;
use kernel::{Exact, Fixed, JobId, MillId, Money, VolumeUnit};
use serde::{Deserialize, Serialize};
use settlement::Task;

use crate::MadeOf;

/// The wood on the mill's own scale, in one unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MarginVolume {
    /// The unit; absent for pieces that the mill pays for without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// How many pieces.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// What crews earn with one task on the wood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MarginTask {
    /// The task.
    pub task: Task,
    /// Quantity × price ÷ unit, added up over all tickets and rates before anything is rounded.
    pub exact: Exact,
    /// The same rounded once to the currency's smallest unit, halves away from zero.
    pub cost: Money,
    /// The cost on a unit of the mill's net scale, of the row's `per_unit`: from the rounded cost, rounded once more. Absent
    /// where the row has no such unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_unit: Option<Money>,
}

/// The margin for a unit of the mill's net scale.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MarginPerUnit {
    /// The unit.
    pub unit: VolumeUnit,
    /// Of how many units it speaks: a thousand board feet, a hundred cubic feet, one of the others.
    pub per: u16,
    /// What the mill owes for that much, rounded once, halves away from zero.
    pub owed: Money,
    /// What crews earn on that much, rounded likewise.
    pub cost: Money,
    /// The margin on that much, from the whole margin, rounded likewise; by its own rounding it may differ by a smallest
    /// unit from owed less cost.
    pub margin: Money,
}

/// One job's wood delivered to one mill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MarginRow {
    /// The job it was cut on.
    pub job_id: JobId,
    /// The job's name.
    pub job_name: String,
    /// The mill it was delivered to.
    pub mill_id: MillId,
    /// The mill's name.
    pub mill_name: String,
    /// How many tickets it is on.
    pub tickets: i64,
    /// On how many of them no crew earns anything.
    pub tickets_without_crew_cost: i64,
    /// For how many of them the mill owes nothing, because no rate of its contract covers anything on them yet.
    pub tickets_without_price: i64,
    /// What the mill pays for, on its own scale, by unit.
    pub volumes: Vec<MarginVolume>,
    /// What the mill owes for it before anything is rounded.
    pub owed_exact: Exact,
    /// The same rounded once, halves away from zero.
    pub owed: Money,
    /// What crews earn on it, by task.
    pub tasks: Vec<MarginTask>,
    /// The sum over the tasks.
    pub cost: Money,
    /// Owed less cost.
    pub margin: Money,
    /// For a unit of the mill's net scale; absent where the wood is measured in more than one unit, or in none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_unit: Option<MarginPerUnit>,
    /// The last day of the week it was scaled in; absent where the weeks are taken together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>, format = Date))]
    pub week_ends_on: Option<Date>,
    /// The tickets that it is the sum of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made_of: Vec<MadeOf>,
}

/// Wood of one job on which crews earn and which was delivered to no mill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct NotDelivered {
    /// The job.
    pub job_id: JobId,
    /// The job's name.
    pub job_name: String,
    /// On how many tickets.
    pub tickets: i64,
    /// What crews earn on them; the sum of each task rounded once.
    pub cost: Money,
}

/// What mills owe for the wood of some days, held against what crews earn on the same wood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Margin {
    /// The first day on which the tickets were scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// One row for each job and mill.
    pub rows: Vec<MarginRow>,
    /// Owed by mills in all.
    pub owed: Money,
    /// Earned by crews in all, on the wood that was delivered.
    pub cost: Money,
    /// Owed less cost.
    pub margin: Money,
    /// Wood that crews earn on and that no mill got. It is in none of the sums above.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_delivered: Vec<NotDelivered>,
    /// What is not in these figures.
    pub leaves_out: String,
}
