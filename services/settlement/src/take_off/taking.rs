//! Keeping back what is due, in order, as far as the pay goes.

use kernel::{AdvanceId, ChargeId, ContractId, Money, MoneyError};
use serde::{Deserialize, Serialize};

use super::ChargeKind;

/// Why something is kept back.
///
/// ```
/// use settlement::Keeping;
/// let keeping: Keeping = serde_json::from_str(
///     r#"{"keeping": "charge", "charge": "0197a000-0000-7000-8000-000000000001", "kind": "tools"}"#,
/// )?;
/// assert!(matches!(keeping, Keeping::Charge { .. }));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "keeping", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Keeping {
    /// A contract's holdback.
    Holdback {
        /// The contract.
        contract: ContractId,
    },
    /// An advance that is recovered.
    Advance {
        /// The advance.
        advance: AdvanceId,
    },
    /// A charge.
    Charge {
        /// The charge.
        charge: ChargeId,
        /// What it is for.
        kind: ChargeKind,
    },
}

/// Something to be kept back from one worker's pay.
///
/// ```
/// use kernel::Money;
/// use settlement::{ChargeKind, Due, Keeping};
/// let board = Due {
///     keeping: Keeping::Charge {
///         charge: "0197a000-0000-7000-8000-000000000001".parse()?,
///         kind: ChargeKind::Board,
///     },
///     amount: Money::from_minor(700, "USD".parse()?),
///     cuts_into_minimum: true,
/// };
/// assert_eq!(board.amount.to_string(), "7.00 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Due {
    /// Why.
    pub keeping: Keeping,
    /// How much is due; below zero for a holdback that gives back.
    pub amount: Money,
    /// Whether it may be kept back from pay that the minimum protects.
    pub cuts_into_minimum: bool,
}

/// What there is to keep back from.
///
/// ```
/// use kernel::Money;
/// use settlement::Purse;
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// let purse = Purse { pay: cents(23_250)?, brought_forward: cents(0)?, protected: cents(21_750)? };
/// assert!(purse.protected.minor() < purse.pay.minor());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Purse {
    /// What the settlement pays the worker, before anything is kept back.
    pub pay: Money,
    /// The balance before; below zero where he was paid too much.
    pub brought_forward: Money,
    /// The part of the pay that only what names itself board or lodging may cut into: the minimum for the hours, and the
    /// premium for overtime.
    pub protected: Money,
}

/// What was kept back of something due.
///
/// ```
/// use kernel::Money;
/// use settlement::{ChargeKind, Keeping, TakeOff};
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// let charge = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let keeping = Keeping::Charge { charge, kind: ChargeKind::Tools };
/// let tools = TakeOff { keeping, due: cents(2_400)?, taken: cents(1_500)?, carried: cents(900)? };
/// assert_eq!(tools.due, tools.taken.plus(tools.carried)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TakeOff {
    /// Why.
    pub keeping: Keeping,
    /// What was due.
    pub due: Money,
    /// What the pay allowed.
    pub taken: Money,
    /// What is carried forward.
    pub carried: Money,
}

/// Keeps back what is due, in the order given, each as far as the pay still goes: never below zero, counting what was
/// paid too much before, and never into the protected part unless the due says that it may. A due below zero gives back
/// whole, and what it gives can be kept back by those after it.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// The figures of the United States Department of Labor for a charge against 30 hours at 7.75 where the minimum is
/// 7.25: 15.00 can be taken.
///
/// ```
/// use kernel::Money;
/// use settlement::{ChargeKind, Due, Keeping, Purse, take_off};
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// let purse = Purse { pay: cents(23_250)?, brought_forward: cents(0)?, protected: cents(21_750)? };
/// let chain = Due {
///     keeping: Keeping::Charge {
///         charge: "0197a000-0000-7000-8000-000000000001".parse()?,
///         kind: ChargeKind::Board,
///     },
///     amount: cents(2_400)?,
///     cuts_into_minimum: false,
/// };
/// let kept = take_off(&purse, &[chain])?;
/// assert_eq!((kept[0].taken, kept[0].carried), (cents(1_500)?, cents(900)?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn take_off(purse: &Purse, dues: &[Due]) -> Result<Vec<TakeOff>, MoneyError> {
    let nothing = Money::zero(purse.pay.currency());
    let owed = if purse.brought_forward.minor() < 0 { purse.brought_forward } else { nothing };
    // What may be taken by anything, and what may be taken from above the protected part.
    let mut free = purse.pay.plus(owed)?;
    let mut unprotected = purse.pay.minus(purse.protected)?.plus(owed)?;
    let mut kept = Vec::with_capacity(dues.len());
    for due in dues {
        let room = if due.cuts_into_minimum { free } else { smaller(free, unprotected) };
        let room = if room.minor() < 0 { nothing } else { room };
        let taken = smaller(due.amount, room);
        free = free.minus(taken)?;
        unprotected = unprotected.minus(taken)?;
        kept.push(TakeOff {
            keeping: due.keeping,
            due: due.amount,
            taken,
            carried: due.amount.minus(taken)?,
        });
    }
    Ok(kept)
}

fn smaller(one: Money, other: Money) -> Money {
    if other.minor() < one.minor() { other } else { one }
}
