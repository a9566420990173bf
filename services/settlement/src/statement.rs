//! What each payee has coming: balance brought forward, this settlement's lines, balance carried down.

use std::collections::BTreeMap;

use kernel::{Money, MoneyError};
use serde::Serialize;

use crate::{Line, LineKey, Pay, Payee};

/// Why statements cannot be drawn up.
///
/// ```
/// use settlement::StatementError;
/// let error = kernel::MoneyError::Number(kernel::NumberError::TooLarge);
/// assert_eq!(StatementError::Money(error).code(), "statement_money");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StatementError {
    /// A line's shares do not sum to its amount.
    #[error("{0}: the payees' shares do not sum to the amount of the line")]
    DoesNotFoot(LineKey),
    /// Two currencies, or a sum that cannot be held.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

impl StatementError {
    /// The stable code of the problem.
    ///
    /// ```
    /// let error = kernel::NumberError::TooLarge;
    /// assert_eq!(settlement::StatementError::Money(error.into()).code(), "statement_money");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::DoesNotFoot(_) => "statement_does_not_foot",
            Self::Money(_) => "statement_money",
        }
    }
}

/// A payee's share of one line of the settlement.
///
/// ```
/// use settlement::StatementLine;
/// let line = StatementLine { line: 0, amount: kernel::Money::from_minor(480, "USD".parse()?) };
/// assert_eq!(serde_json::to_string(&line)?, r#"{"line":0,"amount":{"amount":"4.80","currency":"USD"}}"#);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StatementLine {
    /// The line's position in the settlement, from 0.
    pub line: usize,
    /// The payee's share of it.
    pub amount: Money,
}

/// What stood on a payee's account before a settlement.
///
/// ```
/// use settlement::Forward;
/// let cents = |minor| Ok::<_, kernel::MoneyError>(kernel::Money::from_minor(minor, "USD".parse()?));
/// // 40.00 were due by the last statement, and were paid out since.
/// let settled = Forward { opening: cents(4_000)?, moved: cents(-4_000)? };
/// assert!(settled.balance()?.is_zero());
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Forward {
    /// The balance by the last statement.
    pub opening: Money,
    /// What came and went since: payments below zero, holdback let go above.
    pub moved: Money,
}

impl Forward {
    /// What stands on the account now.
    ///
    /// # Errors
    ///
    /// [`MoneyError`] when the sum cannot be held.
    pub fn balance(self) -> Result<Money, MoneyError> {
        self.opening.plus(self.moved)
    }
}

/// What one payee has coming. For a worker it is what the outfit owes him, for a mill what the mill owes the outfit.
///
/// Opening, moved, earned and added together, less what is kept back, is closing.
///
/// ```
/// use std::collections::BTreeMap;
/// use kernel::Money;
/// use settlement::{Forward, Payee, statements};
/// let mill = Payee::Mill("0197a000-0000-7000-8000-000000000001".parse()?);
/// let owing = Money::from_minor(7700, "USD".parse()?);
/// let forward = Forward { opening: owing, moved: Money::zero(owing.currency()) };
/// let statement = &statements(&[], &[], &BTreeMap::from([(mill, forward)]))?[0];
/// assert_eq!((statement.opening, statement.earned.minor()), (owing, 0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Statement {
    /// Whose statement it is.
    pub payee: Payee,
    /// The balance brought forward.
    pub opening: Money,
    /// What came and went since: payments below zero, holdback let go above.
    pub moved: Money,
    /// His shares of the settlement's lines, in their order; lines of zero are among them.
    pub lines: Vec<StatementLine>,
    /// The sum of those shares.
    pub earned: Money,
    /// What is added to a worker's pay.
    pub added: Money,
    /// What is kept back of it.
    pub kept_back: Money,
    /// The balance carried down.
    pub closing: Money,
}

/// One statement for each payee who has a line, a pay or a balance, or whose balance has moved, in the order of payees.
///
/// # Errors
///
/// [`StatementError`] when a line does not sum over its payees, currencies are mixed, or a sum is too large.
///
/// ```
/// use std::collections::BTreeMap;
/// use kernel::Money;
/// use settlement::{Forward, Payee, statements};
/// let owed = Money::from_minor(1250, "USD".parse()?);
/// let payee = Payee::Worker("0197a000-0000-7000-8000-000000000001".parse()?);
/// let forward = Forward { opening: owed, moved: Money::zero(owed.currency()) };
/// let drawn_up = statements(&[], &[], &BTreeMap::from([(payee, forward)]))?;
/// assert_eq!(drawn_up[0].closing, owed);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn statements(
    lines: &[Line],
    pays: &[Pay],
    forward: &BTreeMap<Payee, Forward>,
) -> Result<Vec<Statement>, StatementError> {
    let mut accounts: BTreeMap<Payee, Account<'_>> = BTreeMap::new();
    for (payee, forward) in forward.iter().filter(|(_, one)| !one.opening.is_zero() || !one.moved.is_zero()) {
        accounts.entry(*payee).or_default().forward = Some(*forward);
    }
    for (position, line) in lines.iter().enumerate() {
        if !line.change.foot()? {
            return Err(StatementError::DoesNotFoot(line.key));
        }
        for share in &line.change.by_payee {
            let lines = &mut accounts.entry(share.payee).or_default().lines;
            lines.push(StatementLine { line: position, amount: share.amount });
        }
    }
    for pay in pays {
        accounts.entry(Payee::Worker(pay.worker)).or_default().pay = Some(pay);
    }
    let drawn_up = accounts.into_iter().filter_map(|(payee, account)| account.statement(payee).transpose());
    Ok(drawn_up.collect::<Result<_, MoneyError>>()?)
}

/// What a payee's statement is drawn up from.
#[derive(Default)]
struct Account<'a> {
    forward: Option<Forward>,
    lines: Vec<StatementLine>,
    pay: Option<&'a Pay>,
}

impl Account<'_> {
    /// The statement; none where there is nothing that names a currency.
    fn statement(self, payee: Payee) -> Result<Option<Statement>, MoneyError> {
        let known = self.forward.map(|forward| forward.opening);
        let known = known.or(self.lines.first().map(|line| line.amount)).or(self.pay.map(|pay| pay.earned));
        let Some(currency) = known.map(Money::currency) else { return Ok(None) };
        let nothing = Money::zero(currency);
        let forward = self.forward.unwrap_or(Forward { opening: nothing, moved: nothing });
        let mut earned = nothing;
        for line in &self.lines {
            earned = earned.plus(line.amount)?;
        }
        let (added, kept_back) = match self.pay {
            Some(pay) => (pay.added()?, pay.kept_back()?),
            None => (nothing, nothing),
        };
        Ok(Some(Statement {
            payee,
            opening: forward.opening,
            moved: forward.moved,
            lines: self.lines,
            earned,
            added,
            kept_back,
            closing: forward.balance()?.plus(earned)?.plus(added)?.minus(kept_back)?,
        }))
    }
}
