//! How the contracts of a job have timber scaled: what a yard needs to scale by itself, and nothing of pay.

use jiff::civil::Date;
use kernel::{ContractId, JobId, Product, TermsId};
use scaling::Practice;
use serde::{Deserialize, Serialize};
use settlement::{RateUnit, Task};

use crate::Party;
use crate::columns::columns;

/// A task that a contract counts wood for. What it pays for it, and from which size on, is not said here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CountedWork {
    /// The task.
    pub task: Task,
    /// The product; absent where it is the turn that counts, whatever is on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<Product>,
    /// What is counted: volume by its unit, pieces, length, turns.
    pub unit: RateUnit,
}

/// How one contract of a job has timber scaled on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PracticeView {
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub title: String,
    /// The job it is for.
    pub job_id: JobId,
    /// With whom: of a crew it scales what the crew worked on, of a mill what was delivered to it.
    pub party: Party,
    /// The terms that hold on the day.
    pub terms_id: TermsId,
    /// The first day they hold for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub effective_from: Date,
    /// How timber is scaled under them, with every default spelled out, and an own log table whole.
    pub practice: Practice,
    /// What is counted under them, each once, by task, product and unit.
    pub counts: Vec<CountedWork>,
}

columns!(PracticeView: view for counted in view.counts.iter(), {
    "contract_id" => view.contract_id,
    "title" => view.title,
    "job_id" => view.job_id,
    "crew_id" => view.party.crew(),
    "mill_id" => view.party.mill(),
    "terms_id" => view.terms_id,
    "effective_from" => view.effective_from,
    "task" => counted.map(|counted| counted.task.name()),
    "product" => counted.and_then(|counted| counted.product).map(Product::name),
    "unit" => counted.map(|counted| counted.unit.name()),
});
