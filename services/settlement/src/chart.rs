//! The chart of accounts: the kinds of account there are, and how bookkeepers class them.

use serde::{Deserialize, Serialize};

use crate::Account;

/// On which side of the books an account stands.
///
/// What the outfit has and what it spends grows by debit; what it owes and what it takes in grows by credit (double
/// entry, common practice).
///
/// ```
/// use settlement::{Account, AccountClass};
/// assert_eq!(Account::Cash.class(), AccountClass::Asset);
/// assert_eq!(Account::TimberIncome.class(), AccountClass::Income);
/// assert!(AccountClass::Asset.grows_by_debit() && !AccountClass::Income.grows_by_debit());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AccountClass {
    /// What the outfit has, or is owed.
    Asset,
    /// What it owes.
    Liability,
    /// What it takes in.
    Income,
    /// What it spends.
    Expense,
}

impl AccountClass {
    /// Whether a debit makes the account larger.
    ///
    /// ```
    /// use settlement::AccountClass;
    /// assert!(AccountClass::Expense.grows_by_debit() && !AccountClass::Liability.grows_by_debit());
    /// ```
    #[must_use]
    pub const fn grows_by_debit(self) -> bool {
        matches!(self, Self::Asset | Self::Expense)
    }

    /// What stands before its accounts' titles, in the plural that bookkeepers use.
    ///
    /// ```
    /// assert_eq!(settlement::AccountClass::Liability.heading(), "Liabilities");
    /// ```
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Asset => "Assets",
            Self::Liability => "Liabilities",
            Self::Income => "Income",
            Self::Expense => "Expenses",
        }
    }
}

/// What an account is for, whoever or whatever it is of.
///
/// ```
/// use settlement::AccountKind;
/// assert_eq!(serde_json::to_string(&AccountKind::WorkExpense)?, r#""work_expense""#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AccountKind {
    /// What a task has cost.
    WorkExpense,
    /// What was added to wages beside the work.
    WageExpense,
    /// What is owed to a worker.
    PayableToWorker,
    /// What is held back of a worker's pay.
    HoldbackPayable,
    /// What a worker was handed before it was earned.
    AdvanceToWorker,
    /// What was kept back of pay for board, store and the like.
    ChargesRecovered,
    /// What a mill owes.
    ReceivableFromMill,
    /// What timber has brought in.
    TimberIncome,
    /// Money in hand or at the bank.
    Cash,
}

impl AccountKind {
    /// Every kind, in the order of the accounts.
    ///
    /// ```
    /// assert_eq!(settlement::AccountKind::ALL.len(), 9);
    /// ```
    pub const ALL: [Self; 9] = [
        Self::WorkExpense,
        Self::WageExpense,
        Self::PayableToWorker,
        Self::HoldbackPayable,
        Self::AdvanceToWorker,
        Self::ChargesRecovered,
        Self::ReceivableFromMill,
        Self::TimberIncome,
        Self::Cash,
    ];

    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::AccountKind::HoldbackPayable.name(), "holdback_payable");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::WorkExpense => "work_expense",
            Self::WageExpense => "wage_expense",
            Self::PayableToWorker => "payable_to_worker",
            Self::HoldbackPayable => "holdback_payable",
            Self::AdvanceToWorker => "advance_to_worker",
            Self::ChargesRecovered => "charges_recovered",
            Self::ReceivableFromMill => "receivable_from_mill",
            Self::TimberIncome => "timber_income",
            Self::Cash => "cash",
        }
    }

    /// On which side of the books its accounts stand.
    ///
    /// ```
    /// use settlement::{AccountClass, AccountKind};
    /// assert_eq!(AccountKind::AdvanceToWorker.class(), AccountClass::Asset);
    /// assert_eq!(AccountKind::HoldbackPayable.class(), AccountClass::Liability);
    /// ```
    #[must_use]
    pub const fn class(self) -> AccountClass {
        match self {
            Self::WorkExpense | Self::WageExpense => AccountClass::Expense,
            Self::PayableToWorker | Self::HoldbackPayable => AccountClass::Liability,
            Self::AdvanceToWorker | Self::ReceivableFromMill | Self::Cash => AccountClass::Asset,
            Self::ChargesRecovered | Self::TimberIncome => AccountClass::Income,
        }
    }
}

impl Account {
    /// What it is for.
    ///
    /// ```
    /// use settlement::{Account, AccountKind, Task};
    /// assert_eq!(Account::WorkExpense(Task::Felling).kind(), AccountKind::WorkExpense);
    /// ```
    #[must_use]
    pub const fn kind(self) -> AccountKind {
        match self {
            Self::WorkExpense(_) => AccountKind::WorkExpense,
            Self::WageExpense(_) => AccountKind::WageExpense,
            Self::PayableToWorker(_) => AccountKind::PayableToWorker,
            Self::HoldbackPayable(_) => AccountKind::HoldbackPayable,
            Self::AdvanceToWorker(_) => AccountKind::AdvanceToWorker,
            Self::ChargesRecovered(_) => AccountKind::ChargesRecovered,
            Self::ReceivableFromMill(_) => AccountKind::ReceivableFromMill,
            Self::TimberIncome => AccountKind::TimberIncome,
            Self::Cash => AccountKind::Cash,
        }
    }

    /// On which side of the books it stands.
    ///
    /// ```
    /// use settlement::{Account, AccountClass, Task};
    /// assert_eq!(Account::WorkExpense(Task::Hewing).class(), AccountClass::Expense);
    /// ```
    #[must_use]
    pub const fn class(self) -> AccountClass {
        self.kind().class()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_written_alike_everywhere() {
        for kind in AccountKind::ALL {
            assert_eq!(serde_json::to_value(kind).unwrap(), kind.name());
        }
        let account = serde_json::to_value(Account::Cash).unwrap();
        assert_eq!(account["account"], Account::Cash.kind().name());
    }
}
