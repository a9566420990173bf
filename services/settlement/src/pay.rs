//! A worker's pay in one settlement: what the lines of work brought, what is added, what is kept back.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::{Currency, Money, MoneyError, WorkerId};
use serde::{Deserialize, Serialize};

use crate::settle::figures_now;
use crate::{Entitlement, Line, Payee, SettleError, SupplementLine, TakeOff};

/// One worker's pay in a settlement.
///
/// ```
/// use kernel::Money;
/// use settlement::Pay;
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// let pay = Pay {
///     worker: "0197a000-0000-7000-8000-000000000001".parse()?,
///     earned: cents(12_500)?,
///     supplements: vec![],
///     take_offs: vec![],
/// };
/// assert_eq!((pay.added()?, pay.kept_back()?, pay.total()?), (cents(0)?, cents(0)?, cents(12_500)?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Pay {
    /// Whose.
    pub worker: WorkerId,
    /// His shares of the settlement's lines, adjustments among them.
    pub earned: Money,
    /// What is added, by week.
    pub supplements: Vec<SupplementLine>,
    /// What is kept back, in order.
    pub take_offs: Vec<TakeOff>,
}

impl Pay {
    /// All that is added.
    ///
    /// # Errors
    ///
    /// [`MoneyError`] when the sum cannot be held.
    pub fn added(&self) -> Result<Money, MoneyError> {
        sum(self.earned.currency(), self.supplements.iter().map(|line| line.change))
    }

    /// All that is kept back; below zero where more is given back.
    ///
    /// # Errors
    ///
    /// [`MoneyError`] when the sum cannot be held.
    pub fn kept_back(&self) -> Result<Money, MoneyError> {
        sum(self.earned.currency(), self.take_offs.iter().map(|one| one.taken))
    }

    /// What the settlement comes to for him: earned and added, less what is kept back.
    ///
    /// # Errors
    ///
    /// [`MoneyError`] when the sum cannot be held.
    pub fn total(&self) -> Result<Money, MoneyError> {
        self.earned.plus(self.added()?)?.minus(self.kept_back()?)
    }
}

fn sum(currency: Currency, amounts: impl Iterator<Item = Money>) -> Result<Money, MoneyError> {
    let mut sum = Money::zero(currency);
    for amount in amounts {
        sum = sum.plus(amount)?;
    }
    Ok(sum)
}

/// What each worker's shares of a settlement's lines come to.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// ```
/// assert!(settlement::earned_by_worker(&[])?.is_empty());
/// # Ok::<(), kernel::MoneyError>(())
/// ```
pub fn earned_by_worker(lines: &[Line]) -> Result<BTreeMap<WorkerId, Money>, MoneyError> {
    let mut earned: BTreeMap<WorkerId, Money> = BTreeMap::new();
    for share in lines.iter().flat_map(|line| &line.change.by_payee) {
        if let Payee::Worker(worker) = share.payee {
            let sum = earned.entry(worker).or_insert_with(|| Money::zero(share.amount.currency()));
            *sum = sum.plus(share.amount)?;
        }
    }
    Ok(earned)
}

/// What a worker's week brought, as the books now stand, before anything is added.
///
/// ```
/// let nothing = kernel::Money::zero("USD".parse()?);
/// let week = settlement::WeekEarned { by_pieces: nothing, by_time: nothing };
/// assert!(week.by_time.is_zero());
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeekEarned {
    /// His shares of what is paid by pieces, volume, length and turns.
    pub by_pieces: Money,
    /// What is paid by the hour and the day.
    pub by_time: Money,
}

/// What each worker's weeks brought as the books now stand, by the last day of the week.
///
/// # Errors
///
/// [`SettleError`] when a crew's pay cannot be divided or a sum is too large.
///
/// ```
/// assert!(settlement::earned_by_week(&[], "USD".parse()?)?.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn earned_by_week(
    entitlements: &[Entitlement],
    currency: Currency,
) -> Result<BTreeMap<(Date, WorkerId), WeekEarned>, SettleError> {
    let nothing = WeekEarned { by_pieces: Money::zero(currency), by_time: Money::zero(currency) };
    let mut weeks: BTreeMap<(Date, WorkerId), WeekEarned> = BTreeMap::new();
    for entitlement in entitlements {
        for share in figures_now(entitlement, currency)?.by_payee {
            let Payee::Worker(worker) = share.payee else { continue };
            let week = weeks.entry((entitlement.key.week, worker)).or_insert(nothing);
            let sum = if entitlement.rate.unit.is_time() { &mut week.by_time } else { &mut week.by_pieces };
            *sum = sum.plus(share.amount)?;
        }
    }
    Ok(weeks)
}
