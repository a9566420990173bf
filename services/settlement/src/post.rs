//! Adding lines to what was settled before.

use std::collections::{BTreeMap, BTreeSet};

use kernel::NumberError;

use crate::{Figures, Line, LineKey, SettleError, Settled};

/// What has been settled in all once `lines` are posted on top of `settled`, in the order of the keys.
///
/// # Errors
///
/// [`SettleError`] when a key is settled twice in `settled`, currencies are mixed or a sum is too large.
///
/// ```
/// use jiff::civil::date;
/// use settlement::{Entitlement, LineKey, RateSummary, RateUnit, Side, Task, post, settle};
/// let key = LineKey {
///     week: date(2031, 6, 7),
///     contract: "0197a000-0000-7000-8000-000000000001".parse()?,
///     terms: "0197a000-0000-7000-8000-000000000002".parse()?,
///     rate: 0,
///     side: Side::Mill { mill: "0197a000-0000-7000-8000-000000000003".parse()? },
/// };
/// let poles = Entitlement {
///     key,
///     rate: RateSummary {
///         name: "poles".parse()?,
///         task: Task::Delivery,
///         unit: RateUnit::LinearFoot,
///         basis: None,
///         price: "0.22".parse()?,
///     },
///     quantity: "350".parse()?,
///     pieces: 10,
///     derivations: vec![],
///     shares: vec![],
/// };
/// let dollars = "USD".parse()?;
/// let lines = settle(key.week, dollars, &[poles.clone()], &[])?;
/// let settled = post(&[], &lines)?;
/// assert_eq!(settled[0].figures.amount.to_string(), "77.00 USD");
/// assert!(settle(key.week, dollars, &[poles], &settled)?.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn post(settled: &[Settled], lines: &[Line]) -> Result<Vec<Settled>, SettleError> {
    let mut sums: BTreeMap<LineKey, Settled> = BTreeMap::new();
    for before in settled {
        if sums.insert(before.key, before.clone()).is_some() {
            return Err(SettleError::SettledTwice(before.key));
        }
    }
    for line in lines {
        let sum = sums.entry(line.key).or_insert_with(|| Settled {
            key: line.key,
            rate: line.rate.clone(),
            figures: Figures::nothing(line.change.amount.currency()),
            derivations: Vec::new(),
        });
        add(sum, line)?;
    }
    Ok(sums.into_values().collect())
}

fn add(sum: &mut Settled, line: &Line) -> Result<(), SettleError> {
    let Settled { figures, derivations, .. } = sum;
    figures.quantity = figures.quantity.plus(line.change.quantity)?;
    figures.pieces = figures.pieces.checked_add(line.change.pieces).ok_or(NumberError::TooLarge)?;
    figures.amount = figures.amount.plus(line.change.amount)?;
    figures.by_payee = crate::settle::joined(&figures.by_payee, &line.change.by_payee)?;
    let mut counted: BTreeSet<_> = derivations.iter().chain(&line.entered).copied().collect();
    for withdrawn in &line.withdrawn {
        counted.remove(withdrawn);
    }
    *derivations = counted.into_iter().collect();
    Ok(())
}
