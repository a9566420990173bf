//! The journal: double entry, and what it adds up to.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{JournalEntryId, Money};
use serde::{Deserialize, Serialize};
use settlement::{Account, AccountClass};

use crate::columns::columns;
use crate::{Cell, Columns, PayeeView};

/// An amount on one account: a debit or a credit, never both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct JournalPostingView {
    /// The account.
    pub account: Account,
    /// On which side of the books it stands.
    pub class: AccountClass,
    /// Its title in plain accounting terms, the same in every export: `Expenses:Work:felling`.
    pub title: String,
    /// The amount, where it is a debit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub debit: Option<Money>,
    /// The amount, where it is a credit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit: Option<Money>,
}

/// An entry of the journal. Its debits equal its credits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct JournalEntryView {
    /// Its id.
    pub journal_entry_id: JournalEntryId,
    /// The day it belongs to.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// What it is for, in words.
    pub says: String,
    /// What it posts.
    pub postings: Vec<JournalPostingView>,
    /// Who made it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// What one account stands at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TrialBalanceRow {
    /// The account.
    pub account: Account,
    /// On which side of the books it stands.
    pub class: AccountClass,
    /// Its title in plain accounting terms.
    pub title: String,
    /// Its balance where debits are more than credits; zero otherwise.
    pub debit: Money,
    /// Its balance where credits are more than debits; zero otherwise.
    pub credit: Money,
}

/// What every account stands at when a day ends. Debits equal credits, always.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TrialBalance {
    /// The day: entries dated up to it count.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub on: Date,
    /// Every account that anything was posted to.
    pub accounts: Vec<TrialBalanceRow>,
    /// All debit balances.
    pub debits: Money,
    /// All credit balances.
    pub credits: Money,
    /// Debits less credits: zero.
    pub difference: Money,
}

/// In which form the journal is handed over.
///
/// ```
/// use wire::JournalFormat;
/// assert_eq!(JournalFormat::Text.media_type(), "text/plain");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum JournalFormat {
    /// Comma-separated values (RFC 4180), a row for each posting.
    Csv,
    /// Plain-text double entry, as general-purpose accounting tools read it.
    Text,
}

impl JournalFormat {
    /// Every form there is.
    ///
    /// ```
    /// assert_eq!(wire::JournalFormat::ALL.len(), 2);
    /// ```
    pub const ALL: [Self; 2] = [Self::Csv, Self::Text];

    /// Its name in the query.
    ///
    /// ```
    /// assert_eq!(wire::JournalFormat::Csv.name(), "csv");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Text => "text",
        }
    }

    /// Its media type (RFC 4180, RFC 2046), without parameters.
    ///
    /// ```
    /// assert_eq!(wire::JournalFormat::Csv.media_type(), "text/csv");
    /// ```
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Csv => "text/csv",
            Self::Text => "text/plain",
        }
    }
}

/// What one payee's account stands at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayeeBalance {
    /// Whose.
    pub payee: PayeeView,
    /// For a worker, what is owed to him; for a mill, what it owes. Below zero, what was paid too much.
    pub balance: Money,
    /// For a worker: what is held back of his pay and was not let go yet. Not part of the balance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_back: Option<Money>,
    /// For a worker: what he was handed before it was earned and has not been recovered yet. Not part of the balance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advances: Option<Money>,
}

/// What every payee's account stands at when a day ends.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Balances {
    /// The day: entries dated up to it count.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub on: Date,
    /// Everybody to whose account anything was posted: workers, then mills, each by name.
    pub items: Vec<PayeeBalance>,
    /// What is owed to all workers.
    pub owed_to_workers: Money,
    /// What is held back of all workers' pay.
    pub held_back: Money,
    /// What is still to be recovered of all advances.
    pub advances: Money,
    /// What all mills owe.
    pub owed_by_mills: Money,
}

columns!(JournalEntryView: entry for posting in (1_u32..).zip(&entry.postings), {
    "journal_entry_id" => entry.journal_entry_id,
    "dated" => entry.dated,
    "says" => entry.says,
    "posting" => posting.map(|(position, _)| position),
    "account" => posting.map(|(_, posting)| posting.title.as_str()),
    "debit" => posting.and_then(|(_, posting)| posting.debit),
    "credit" => posting.and_then(|(_, posting)| posting.credit),
    "currency" => posting.and_then(|(_, posting)| posting.debit.or(posting.credit)).map(kernel::Money::currency),
    "made_by" => entry.made_by,
    "made_at" => entry.made_at,
});

columns!(PayeeBalance: one {
    "worker_id" => one.payee.worker_id,
    "mill_id" => one.payee.mill_id,
    "payee" => one.payee.name,
    "balance" => one.balance,
    "held_back" => one.held_back,
    "advances" => one.advances,
    "currency" => one.balance.currency(),
});

/// The payees; the sums are left to whoever reads.
impl Columns for Balances {
    const NAMES: &'static [&'static str] = PayeeBalance::NAMES;

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.items.iter().flat_map(Columns::rows).collect()
    }
}
