//! Settling a week by stating again what everybody has earned and posting the difference.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{Currency, DerivationId, Money, MoneyError, NumberError, WorkerId};

use crate::{
    Entitlement, Figures, Line, LineKey, LineKind, Payee, PayeeAmount, RateSummary, Settled, Share, Side,
    SplitError,
};

/// Why a week cannot be settled. All but [`SettleError::Split`] mean that the books handed in contradict themselves.
///
/// ```
/// use settlement::SettleError;
/// assert_eq!(SettleError::Number(kernel::NumberError::TooLarge).code(), "settle_number");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SettleError {
    /// Two entitlements for one key.
    #[error("{0}: two entitlements for the same work: sum them into one")]
    EntitledTwice(LineKey),
    /// Two sums of what was settled for one key.
    #[error("{0}: two sums of what was settled: add them into one")]
    SettledTwice(LineKey),
    /// The rate of a key is not what it was; filed terms never change.
    #[error("{0}: the rate is not what it was when it was settled: amend by new terms, never in place")]
    RateChanged(LineKey),
    /// A worker has two shares in one share set.
    #[error("{key}: {worker:?} has two shares: give each member one")]
    SharedTwice {
        /// The work.
        key: LineKey,
        /// The worker.
        worker: WorkerId,
    },
    /// Shares on work that a mill pays for, or on one member's own time.
    #[error("{0}: shares on work that a mill pays for, or on a member's own time: leave them out")]
    SharesUnwanted(LineKey),
    /// What was settled does not sum over its payees.
    #[error("{0}: what was settled does not sum over the payees to its amount: check the posted lines")]
    DoesNotFoot(LineKey),
    /// The crew's amount cannot be divided.
    #[error("{key}: the crew's pay cannot be divided: {why}")]
    Split {
        /// The work.
        key: LineKey,
        /// Why not.
        why: SplitError,
    },
    /// Two currencies.
    #[error("{0} in books kept in {1}: settle each currency by itself")]
    MixedCurrencies(Currency, Currency),
    /// A sum that cannot be held.
    #[error(transparent)]
    Number(#[from] NumberError),
}

impl SettleError {
    /// The stable code of the problem.
    ///
    /// ```
    /// let error = settlement::SettleError::MixedCurrencies("USD".parse()?, "CAD".parse()?);
    /// assert_eq!(error.code(), "settle_mixed_currencies");
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::EntitledTwice(_) => "settle_entitled_twice",
            Self::SettledTwice(_) => "settle_settled_twice",
            Self::RateChanged(_) => "settle_rate_changed",
            Self::SharedTwice { .. } => "settle_shared_twice",
            Self::SharesUnwanted(_) => "settle_shares_unwanted",
            Self::DoesNotFoot(_) => "settle_does_not_foot",
            Self::Split { .. } => "settle_split",
            Self::MixedCurrencies(..) => "settle_mixed_currencies",
            Self::Number(_) => "settle_number",
        }
    }
}

impl From<MoneyError> for SettleError {
    fn from(error: MoneyError) -> Self {
        match error {
            MoneyError::MixedCurrencies(one, other) => Self::MixedCurrencies(one, other),
            MoneyError::Number(error) => Self::Number(error),
            // Only texts can fail in these ways, and no text is read here.
            MoneyError::UnknownCurrency(_) | MoneyError::NotAnAmount(..) => {
                Self::Number(NumberError::TooLarge)
            }
        }
    }
}

/// The lines that bring what was settled to what the books say now, for every week up to and including `week`.
///
/// A line is regular when it is about the week itself and nothing was settled for its key before; otherwise it is an
/// adjustment. A key that was settled and has no entitlement any more is withdrawn whole. A key without any change
/// has no line; a change of derivations alone has one, of zero. Later weeks are left for their own settlement.
///
/// Lines come in the order of their keys: week, contract, terms, rate, side. Neither the order of the entitlements
/// nor that of what was settled matters, and posting the lines leaves nothing to settle.
///
/// # Errors
///
/// [`SettleError`] when the books contradict themselves or a crew's pay cannot be divided.
///
/// ```
/// use jiff::civil::date;
/// use settlement::{Entitlement, LineKey, LineKind, RateSummary, RateUnit, Share, Side, Task, post, settle};
///
/// let key = LineKey {
///     week: date(2031, 6, 7),
///     contract: "0197a000-0000-7000-8000-000000000001".parse()?,
///     terms: "0197a000-0000-7000-8000-000000000002".parse()?,
///     rate: 0,
///     side: Side::Crew {
///         crew: "0197a000-0000-7000-8000-000000000003".parse()?,
///         share_set: "0197a000-0000-7000-8000-000000000004".parse()?,
///     },
/// };
/// let mut ties = Entitlement {
///     key,
///     rate: RateSummary {
///         name: "ties".parse()?,
///         task: Task::Hewing,
///         unit: RateUnit::Piece,
///         basis: None,
///         price: "0.48".parse()?,
///     },
///     quantity: "20".parse()?,
///     pieces: 20,
///     derivations: vec!["0197a000-0000-7000-8000-000000000005".parse()?],
///     shares: vec![
///         Share { worker: "0197a000-0000-7000-8000-000000000006".parse()?, parts: "1".parse()? },
///         Share { worker: "0197a000-0000-7000-8000-000000000007".parse()?, parts: "1".parse()? },
///     ],
/// };
/// let dollars = "USD".parse()?;
/// let first = settle(key.week, dollars, &[ties.clone()], &[])?;
/// assert_eq!(first[0].kind, LineKind::Regular);
/// assert_eq!(first[0].change.amount.to_string(), "9.60 USD");
///
/// // A ticket of that week is corrected after the week was posted: one tie fewer.
/// let settled = post(&[], &first)?;
/// ties.quantity = "19".parse()?;
/// ties.pieces = 19;
/// let next = settle(date(2031, 6, 14), dollars, &[ties], &settled)?;
/// assert_eq!(next[0].kind, LineKind::Adjustment);
/// assert_eq!(next[0].change.amount.to_string(), "-0.48 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn settle(
    week: Date,
    currency: Currency,
    entitlements: &[Entitlement],
    settled: &[Settled],
) -> Result<Vec<Line>, SettleError> {
    let mut books: BTreeMap<LineKey, Books<'_>> = BTreeMap::new();
    for entitlement in entitlements.iter().filter(|entitlement| entitlement.key.week <= week) {
        let entry = books.entry(entitlement.key).or_default();
        if entry.entitlement.replace(entitlement).is_some() {
            return Err(SettleError::EntitledTwice(entitlement.key));
        }
    }
    for settled in settled.iter().filter(|settled| settled.key.week <= week) {
        let entry = books.entry(settled.key).or_default();
        if entry.settled.replace(settled).is_some() {
            return Err(SettleError::SettledTwice(settled.key));
        }
    }
    books.into_iter().filter_map(|(key, books)| books.line(week, currency, key).transpose()).collect()
}

/// Both sides of the books for one key; at least one of them is there.
#[derive(Default)]
struct Books<'a> {
    entitlement: Option<&'a Entitlement>,
    settled: Option<&'a Settled>,
}

impl Books<'_> {
    /// The line that brings one side to the other, if they differ.
    fn line(self, week: Date, currency: Currency, key: LineKey) -> Result<Option<Line>, SettleError> {
        let Some(rate) = self.rate(key)? else { return Ok(None) };
        let now = match self.entitlement {
            Some(entitlement) => figures_now(entitlement, currency)?,
            None => Figures::nothing(currency),
        };
        let formerly = match self.settled {
            Some(settled) if !settled.figures.foot()? => return Err(SettleError::DoesNotFoot(key)),
            Some(settled) => settled.figures.clone(),
            None => Figures::nothing(currency),
        };
        let change = difference(&now, &formerly)?;
        let counted: BTreeSet<DerivationId> =
            self.entitlement.iter().flat_map(|entitlement| &entitlement.derivations).copied().collect();
        let counted_before: BTreeSet<DerivationId> =
            self.settled.iter().flat_map(|settled| &settled.derivations).copied().collect();
        if change.is_nothing() && counted == counted_before {
            return Ok(None);
        }
        let first_time = key.week == week && self.settled.is_none();
        Ok(Some(Line {
            kind: if first_time { LineKind::Regular } else { LineKind::Adjustment },
            key,
            rate: rate.clone(),
            change,
            now,
            formerly,
            shares: self.entitlement.map_or_else(Vec::new, |entitlement| entitlement.shares.clone()),
            entered: counted.difference(&counted_before).copied().collect(),
            withdrawn: counted_before.difference(&counted).copied().collect(),
        }))
    }

    fn rate(&self, key: LineKey) -> Result<Option<&RateSummary>, SettleError> {
        match (self.entitlement, self.settled) {
            (Some(now), Some(before)) if now.rate != before.rate => Err(SettleError::RateChanged(key)),
            (now, before) => Ok(now.map(|now| &now.rate).or(before.map(|before| &before.rate))),
        }
    }
}

/// The money of an entitlement: rounded once, then divided.
pub(crate) fn figures_now(entitlement: &Entitlement, currency: Currency) -> Result<Figures, SettleError> {
    let Entitlement { key, rate, quantity, pieces, shares, .. } = entitlement;
    let amount = crate::amount(*quantity, rate.price, rate.unit, currency)?;
    let by_payee = match key.side {
        Side::Mill { .. } | Side::Member { .. } if !shares.is_empty() => {
            return Err(SettleError::SharesUnwanted(*key));
        }
        Side::Member { worker, .. } => vec![PayeeAmount { payee: Payee::Worker(worker), amount }],
        Side::Mill { mill } => vec![PayeeAmount { payee: Payee::Mill(mill), amount }],
        Side::Crew { .. } => divided(*key, amount, shares)?,
    };
    Ok(Figures { quantity: *quantity, pieces: *pieces, amount, by_payee })
}

fn divided(key: LineKey, amount: Money, shares: &[Share]) -> Result<Vec<PayeeAmount>, SettleError> {
    let mut seen = BTreeSet::new();
    if let Some(again) = shares.iter().find(|share| !seen.insert(share.worker)) {
        return Err(SettleError::SharedTwice { key, worker: again.worker });
    }
    let parts: Vec<_> = shares.iter().map(|share| share.parts).collect();
    let amounts = crate::split(amount, &parts).map_err(|why| SettleError::Split { key, why })?;
    let payees = shares.iter().map(|share| Payee::Worker(share.worker));
    Ok(payees.zip(amounts).map(|(payee, amount)| PayeeAmount { payee, amount }).collect())
}

/// One set of figures minus another.
fn difference(now: &Figures, formerly: &Figures) -> Result<Figures, SettleError> {
    let negated = formerly
        .by_payee
        .iter()
        .map(|share| Ok(PayeeAmount { payee: share.payee, amount: share.amount.negated()? }))
        .collect::<Result<Vec<_>, MoneyError>>()?;
    Ok(Figures {
        quantity: now.quantity.minus(formerly.quantity)?,
        pieces: now.pieces.checked_sub(formerly.pieces).ok_or(NumberError::TooLarge)?,
        amount: now.amount.minus(formerly.amount)?,
        by_payee: joined(&now.by_payee, &negated)?,
    })
}

/// The shares of two lists added payee by payee, in the order of the first and then of the second.
pub(crate) fn joined(one: &[PayeeAmount], two: &[PayeeAmount]) -> Result<Vec<PayeeAmount>, MoneyError> {
    let mut sums: Vec<PayeeAmount> = Vec::with_capacity(one.len().max(two.len()));
    for share in one.iter().chain(two) {
        match sums.iter_mut().find(|sum| sum.payee == share.payee) {
            Some(sum) => sum.amount = sum.amount.plus(share.amount)?,
            None => sums.push(*share),
        }
    }
    Ok(sums)
}
