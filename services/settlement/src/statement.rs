//! What each payee has coming: balance brought forward, this settlement's lines, balance carried down.

use std::collections::BTreeMap;

use kernel::{Money, MoneyError};
use serde::Serialize;

use crate::{Line, LineKey, Payee};

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

/// What one payee has coming. For a worker it is what the outfit owes him, for a mill what the mill owes the outfit.
///
/// ```
/// use std::collections::BTreeMap;
/// use kernel::Money;
/// use settlement::{Payee, statements};
/// let mill = Payee::Mill("0197a000-0000-7000-8000-000000000001".parse()?);
/// let owing = Money::from_minor(7700, "USD".parse()?);
/// let statement = &statements(&[], &BTreeMap::from([(mill, owing)]))?[0];
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
    /// His shares of the settlement's lines, in their order; lines of zero are among them.
    pub lines: Vec<StatementLine>,
    /// The sum of those shares.
    pub earned: Money,
    /// The balance carried down: opening and earned together.
    pub closing: Money,
}

/// One statement for each payee who has a line or a balance, in the order of payees.
///
/// # Errors
///
/// [`StatementError`] when a line does not sum over its payees, currencies are mixed, or a sum is too large.
///
/// ```
/// use std::collections::BTreeMap;
/// use kernel::Money;
/// use settlement::{Payee, statements};
/// let owed = Money::from_minor(1250, "USD".parse()?);
/// let payee = Payee::Worker("0197a000-0000-7000-8000-000000000001".parse()?);
/// let drawn_up = statements(&[], &BTreeMap::from([(payee, owed)]))?;
/// assert_eq!(drawn_up[0].closing, owed);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn statements(
    lines: &[Line],
    opening: &BTreeMap<Payee, Money>,
) -> Result<Vec<Statement>, StatementError> {
    let balances = opening.iter().filter(|(_, balance)| !balance.is_zero());
    let mut by_payee: BTreeMap<Payee, Vec<StatementLine>> =
        balances.map(|(payee, _)| (*payee, Vec::new())).collect();
    for (position, line) in lines.iter().enumerate() {
        if !line.change.foot()? {
            return Err(StatementError::DoesNotFoot(line.key));
        }
        for share in &line.change.by_payee {
            let shares = by_payee.entry(share.payee).or_default();
            shares.push(StatementLine { line: position, amount: share.amount });
        }
    }
    let drawn_up = by_payee
        .into_iter()
        .filter_map(|(payee, shares)| statement(payee, shares, opening.get(&payee).copied()).transpose());
    Ok(drawn_up.collect::<Result<_, MoneyError>>()?)
}

/// The statement of one payee; none for one who has neither a balance nor a line.
fn statement(
    payee: Payee,
    lines: Vec<StatementLine>,
    opening: Option<Money>,
) -> Result<Option<Statement>, MoneyError> {
    let currency = opening.or(lines.first().map(|line| line.amount)).map(Money::currency);
    let Some(currency) = currency else { return Ok(None) };
    let opening = opening.unwrap_or(Money::zero(currency));
    let mut earned = Money::zero(currency);
    for line in &lines {
        earned = earned.plus(line.amount)?;
    }
    Ok(Some(Statement { payee, opening, earned, closing: opening.plus(earned)?, lines }))
}
