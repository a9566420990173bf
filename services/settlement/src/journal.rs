//! Double-entry postings: every entry sums to zero.

use std::collections::BTreeMap;

use kernel::{Currency, MillId, Money, MoneyError, WorkerId};
use serde::{Deserialize, Serialize};

use crate::{ChargeKind, Keeping, Line, LineKey, Pay, Payee, Side, Supplement, Task};

/// An account of the outfit's books. The order is the order of an entry's postings.
///
/// ```
/// use settlement::{Account, Task};
/// let account = Account::WorkExpense(Task::Felling);
/// assert_eq!(serde_json::to_string(&account)?, r#"{"account":"work_expense","of":"felling"}"#);
/// assert_eq!(serde_json::to_string(&Account::TimberIncome)?, r#"{"account":"timber_income"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "account", content = "of", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Account {
    /// What a task has cost; grows by debit.
    WorkExpense(Task),
    /// What was added to wages beside the work; grows by debit.
    WageExpense(Supplement),
    /// What is owed to a worker; grows by credit.
    PayableToWorker(WorkerId),
    /// What is held back of a worker's pay until it is let go; grows by credit.
    HoldbackPayable(WorkerId),
    /// What a worker was handed before it was earned; grows by debit.
    AdvanceToWorker(WorkerId),
    /// What was kept back of pay for board, store and the like; grows by credit.
    ChargesRecovered(ChargeKind),
    /// What a mill owes; grows by debit.
    ReceivableFromMill(MillId),
    /// What timber has brought in; grows by credit.
    TimberIncome,
    /// Money in hand or at the bank; grows by debit.
    Cash,
}

/// An amount on one account: a debit is positive, a credit negative.
///
/// ```
/// use kernel::Money;
/// use settlement::{Account, Posting};
/// let credit = Posting { account: Account::TimberIncome, amount: Money::from_minor(-7700, "USD".parse()?) };
/// assert!(credit.amount.minor() < 0);
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Posting {
    /// The account.
    pub account: Account,
    /// The amount; a debit is positive.
    pub amount: Money,
}

/// Why postings make no entry.
///
/// ```
/// use kernel::Money;
/// use settlement::{Account, JournalEntry, JournalError, Posting};
/// let lone = Posting { account: Account::TimberIncome, amount: Money::from_minor(5, "USD".parse()?) };
/// assert_eq!(JournalEntry::new([lone]), Err(JournalError::Unbalanced(lone.amount)));
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum JournalError {
    /// Debits and credits differ.
    #[error("debits and credits differ by {0}: every entry must sum to zero")]
    Unbalanced(Money),
    /// A line's shares do not sum to its amount.
    #[error("{0}: the payees' shares do not sum to the amount of the line")]
    DoesNotFoot(LineKey),
    /// A worker paid by a mill's line, or a mill by a crew's.
    #[error("{0}: a payee of the wrong side: a crew's line pays workers, a mill's line is owed by the mill")]
    WrongSide(LineKey),
    /// Two currencies, or a sum that cannot be held.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

impl JournalError {
    /// The stable code of the problem.
    ///
    /// ```
    /// let error = settlement::JournalError::Unbalanced(kernel::Money::from_minor(1, "USD".parse()?));
    /// assert_eq!(error.code(), "journal_unbalanced");
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Unbalanced(_) => "journal_unbalanced",
            Self::DoesNotFoot(_) => "journal_does_not_foot",
            Self::WrongSide(_) => "journal_wrong_side",
            Self::Money(_) => "journal_money",
        }
    }
}

/// Balanced postings in one currency, one for each account, none of them zero, in the order of the accounts.
///
/// ```
/// use kernel::Money;
/// use settlement::{Account, JournalEntry, Posting, Task};
/// let dollars = "USD".parse()?;
/// let entry = JournalEntry::new([
///     Posting { account: Account::TimberIncome, amount: Money::from_minor(-500, dollars) },
///     Posting { account: Account::WorkExpense(Task::Felling), amount: Money::from_minor(500, dollars) },
/// ])?;
/// assert_eq!(entry.postings().len(), 2);
/// let cancelled = JournalEntry::new(entry.postings().iter().chain(entry.reversed()?.postings()).copied())?;
/// assert!(cancelled.postings().is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Posting>", into = "Vec<Posting>")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct JournalEntry(Vec<Posting>);

impl JournalEntry {
    /// Sums postings by account, drops what comes to zero, and checks that debits equal credits.
    ///
    /// # Errors
    ///
    /// [`JournalError::Unbalanced`], or [`JournalError::Money`] for two currencies.
    ///
    /// ```
    /// assert!(settlement::JournalEntry::new([])?.postings().is_empty());
    /// # Ok::<(), settlement::JournalError>(())
    /// ```
    pub fn new(postings: impl IntoIterator<Item = Posting>) -> Result<Self, JournalError> {
        let mut sums: BTreeMap<Account, Money> = BTreeMap::new();
        let mut balance: Option<Money> = None;
        for Posting { account, amount } in postings {
            let nothing = Money::zero(amount.currency());
            let sum = sums.entry(account).or_insert(nothing);
            *sum = sum.plus(amount)?;
            balance = Some(balance.unwrap_or(nothing).plus(amount)?);
        }
        match balance {
            Some(difference) if !difference.is_zero() => Err(JournalError::Unbalanced(difference)),
            _ => Ok(Self(
                sums.into_iter()
                    .filter(|(_, amount)| !amount.is_zero())
                    .map(|(account, amount)| Posting { account, amount })
                    .collect(),
            )),
        }
    }

    /// The postings, in the order of their accounts.
    ///
    /// ```
    /// assert!(settlement::JournalEntry::default().postings().is_empty());
    /// ```
    #[must_use]
    pub fn postings(&self) -> &[Posting] {
        &self.0
    }

    /// The entry with debits and credits exchanged, which cancels this one to the cent.
    ///
    /// # Errors
    ///
    /// [`JournalError::Money`] for the one amount that has no opposite.
    ///
    /// ```
    /// assert_eq!(settlement::JournalEntry::default().reversed()?, settlement::JournalEntry::default());
    /// # Ok::<(), settlement::JournalError>(())
    /// ```
    pub fn reversed(&self) -> Result<Self, JournalError> {
        let exchanged = self
            .0
            .iter()
            .map(|posting| Ok(Posting { account: posting.account, amount: posting.amount.negated()? }));
        Self::new(exchanged.collect::<Result<Vec<_>, MoneyError>>()?)
    }

    /// The currency of its postings; none when there are none.
    ///
    /// ```
    /// assert_eq!(settlement::JournalEntry::default().currency(), None);
    /// ```
    #[must_use]
    pub fn currency(&self) -> Option<Currency> {
        self.0.first().map(|posting| posting.amount.currency())
    }
}

impl TryFrom<Vec<Posting>> for JournalEntry {
    type Error = JournalError;

    fn try_from(postings: Vec<Posting>) -> Result<Self, Self::Error> {
        Self::new(postings)
    }
}

impl From<JournalEntry> for Vec<Posting> {
    fn from(entry: JournalEntry) -> Self {
        entry.0
    }
}

/// The journal entry that books a settlement: its lines, and what is added to and kept back of each worker's pay.
///
/// A crew's line debits the expense of its task and credits each worker, a member's line him alone; a mill's line debits
/// what the mill owes and credits the income from timber. What is added to wages debits its own expense and credits the
/// worker; what is kept back debits the worker, and credits the holdback, the advance or the charges. What takes
/// something back does the same with the signs turned.
///
/// # Errors
///
/// [`JournalError`] when a line contradicts itself, currencies are mixed, or a sum is too large.
///
/// ```
/// assert!(settlement::journal(&[], &[])?.postings().is_empty());
/// # Ok::<(), settlement::JournalError>(())
/// ```
pub fn journal(lines: &[Line], pays: &[Pay]) -> Result<JournalEntry, JournalError> {
    let mut postings = Vec::new();
    for line in lines {
        if !line.change.foot()? {
            return Err(JournalError::DoesNotFoot(line.key));
        }
        let whole = match line.key.side {
            Side::Crew { .. } | Side::Member { .. } => {
                Posting { account: Account::WorkExpense(line.rate.task), amount: line.change.amount }
            }
            Side::Mill { .. } => {
                Posting { account: Account::TimberIncome, amount: line.change.amount.negated()? }
            }
        };
        postings.push(whole);
        for share in &line.change.by_payee {
            postings.push(match (line.key.side, share.payee) {
                (Side::Crew { .. }, Payee::Worker(worker)) => {
                    Posting { account: Account::PayableToWorker(worker), amount: share.amount.negated()? }
                }
                (Side::Member { worker, .. }, Payee::Worker(payee)) if worker == payee => {
                    Posting { account: Account::PayableToWorker(worker), amount: share.amount.negated()? }
                }
                (Side::Mill { mill }, Payee::Mill(payee)) if mill == payee => {
                    Posting { account: Account::ReceivableFromMill(mill), amount: share.amount }
                }
                _ => return Err(JournalError::WrongSide(line.key)),
            });
        }
    }
    for pay in pays {
        postings.extend(of_pay(pay)?);
    }
    JournalEntry::new(postings)
}

/// What is added to a worker's pay, and what is kept back of it.
fn of_pay(pay: &Pay) -> Result<Vec<Posting>, MoneyError> {
    let payable = Account::PayableToWorker(pay.worker);
    let mut postings = Vec::new();
    for line in &pay.supplements {
        let expense = Account::WageExpense(line.key.supplement);
        postings.push(Posting { account: expense, amount: line.change });
        postings.push(Posting { account: payable, amount: line.change.negated()? });
    }
    for take_off in &pay.take_offs {
        let account = match take_off.keeping {
            Keeping::Holdback { .. } => Account::HoldbackPayable(pay.worker),
            Keeping::Advance { .. } => Account::AdvanceToWorker(pay.worker),
            Keeping::Charge { kind, .. } => Account::ChargesRecovered(kind),
        };
        postings.push(Posting { account: payable, amount: take_off.taken });
        postings.push(Posting { account, amount: take_off.taken.negated()? });
    }
    Ok(postings)
}
