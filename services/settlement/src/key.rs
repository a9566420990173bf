//! What a line of pay is about: the week, the rate, and the crew or the mill.

use std::fmt;

use jiff::civil::Date;
use kernel::{ContractId, CrewId, Fixed, MillId, ShareSetId, TermsId, WorkerId};
use serde::{Deserialize, Serialize};

use crate::{Basis, Label, Rate, RateUnit, Task};

/// Who a contract is with, and so which way the money goes.
///
/// ```
/// use settlement::Side;
/// let side: Side = serde_json::from_str(
///     r#"{"side": "mill", "mill": "0197a000-0000-7000-8000-000000000001"}"#,
/// )?;
/// assert!(matches!(side, Side::Mill { .. }));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "side", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Side {
    /// The outfit pays a crew, whose members share by a share set.
    Crew {
        /// The crew.
        crew: CrewId,
        /// The share set in force when the work was scaled.
        share_set: ShareSetId,
    },
    /// The outfit pays one member of a crew by time; nobody shares in it.
    Member {
        /// The crew that the contract is with.
        crew: CrewId,
        /// The member.
        worker: WorkerId,
    },
    /// A mill pays the outfit.
    Mill {
        /// The mill.
        mill: MillId,
    },
}

/// Whose account a share of an amount goes to.
///
/// ```
/// let payee: settlement::Payee = serde_json::from_str(
///     r#"{"kind": "worker", "id": "0197a000-0000-7000-8000-000000000001"}"#,
/// )?;
/// assert!(matches!(payee, settlement::Payee::Worker(_)));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "kind", content = "id", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Payee {
    /// A worker: what the outfit owes.
    Worker(WorkerId),
    /// A mill: what the mill owes the outfit.
    Mill(MillId),
}

/// What one line of pay is about: one week's work under one rate, with one crew and share set or one mill.
///
/// The order of keys (week, contract, terms, rate, side) is the order of a settlement's lines.
///
/// ```
/// use jiff::civil::date;
/// use settlement::{LineKey, Side};
/// let key = LineKey {
///     week: date(2031, 6, 7),
///     contract: "0197a000-0000-7000-8000-000000000001".parse()?,
///     terms: "0197a000-0000-7000-8000-000000000002".parse()?,
///     rate: 0,
///     side: Side::Mill { mill: "0197a000-0000-7000-8000-000000000003".parse()? },
/// };
/// assert!(key < LineKey { week: date(2031, 6, 14), ..key });
/// assert!(key.to_string().starts_with("rate 1 of terms 0197a000-"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LineKey {
    /// The last day of the week that the work was scaled in.
    pub week: Date,
    /// The contract.
    pub contract: ContractId,
    /// The contract's terms in force on the day of the scale.
    pub terms: TermsId,
    /// The rate's position in the terms, from 0.
    pub rate: u16,
    /// The crew or the mill.
    pub side: Side,
}

impl fmt::Display for LineKey {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = u32::from(self.rate) + 1;
        write!(formatter, "rate {number} of terms {} in the week ending {}", self.terms, self.week)
    }
}

/// What a line says of its rate, so that paper needs no look-up.
///
/// ```
/// use settlement::{Rate, RateSummary};
/// let rate: Rate = serde_json::from_str(
///     r#"{"name": "ties", "task": "hewing", "product": "tie", "unit": "piece", "price": "0.48"}"#,
/// )?;
/// assert_eq!(RateSummary::from(&rate).price, "0.48".parse()?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RateSummary {
    /// The rate's name.
    pub name: Label,
    /// The task.
    pub task: Task,
    /// The unit that the price is for.
    pub unit: RateUnit,
    /// Gross or net, for the units of volume.
    pub basis: Option<Basis>,
    /// The price of one unit; below zero for dockage.
    pub price: Fixed,
}

impl From<&Rate> for RateSummary {
    fn from(rate: &Rate) -> Self {
        Self {
            name: rate.name().clone(),
            task: rate.task(),
            unit: rate.unit(),
            basis: rate.basis(),
            price: rate.signed_price(),
        }
    }
}
