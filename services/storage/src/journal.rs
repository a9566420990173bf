//! The journal: balanced entries, and the balances they make.

use std::collections::BTreeMap;

use ::settlement::{Account, Payee};
use diesel::ExpressionMethods;
use diesel::QueryableByName;
use diesel::sql_types::{Bigint, Nullable, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JournalEntryId, WorkerId};

use crate::schema::{journal_entry, journal_posting};
use crate::settlement::payee;
use crate::{Books, Stamp, StorageError};

/// An entry to be written: its postings must sum to zero, or the database refuses it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalEntry {
    /// Its id.
    pub id: JournalEntryId,
    /// The day it belongs to.
    pub dated: Date,
    /// What it is for, in words.
    pub says: String,
    /// Accounts and amounts in the currency's smallest unit; a debit is positive.
    pub postings: Vec<(Account, i64)>,
    /// Who made it, and when.
    pub made: Stamp,
}

#[derive(QueryableByName)]
struct BalanceRow {
    #[diesel(sql_type = Nullable<SqlUuid>)]
    worker_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    mill_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Bigint)]
    balance: i64,
}

impl Books {
    /// Writes an entry.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails; an entry that does not balance is refused at the commit.
    pub async fn add_journal_entry(&mut self, new: &JournalEntry) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        diesel::insert_into(journal_entry::table)
            .values((
                journal_entry::outfit_id.eq(outfit),
                journal_entry::journal_entry_id.eq(new.id.uuid()),
                journal_entry::dated.eq(jiff_diesel::Date::from(new.dated)),
                journal_entry::says.eq(&new.says),
                journal_entry::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                journal_entry::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        let rows: Vec<_> = (1_i16..)
            .zip(&new.postings)
            .map(|(position, (account, amount))| {
                let (name, task, worker, mill, detail) = columns(*account);
                (
                    journal_posting::outfit_id.eq(outfit),
                    journal_posting::journal_entry_id.eq(new.id.uuid()),
                    journal_posting::position.eq(position),
                    journal_posting::account.eq(name),
                    journal_posting::task.eq(task),
                    journal_posting::worker_id.eq(worker),
                    journal_posting::mill_id.eq(mill),
                    journal_posting::amount_minor.eq(*amount),
                    journal_posting::detail.eq(detail),
                )
            })
            .collect();
        diesel::insert_into(journal_posting::table).values(rows).execute(&mut self.connection).await?;
        Ok(())
    }

    /// What each payee's account stands at: what a worker has coming, what a mill owes, in the smallest unit.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn balances(&mut self) -> Result<BTreeMap<Payee, i64>, StorageError> {
        let rows: Vec<BalanceRow> = diesel::sql_query(
            "SELECT worker_id, mill_id,
                    sum(CASE account WHEN 'payable_to_worker' THEN -amount_minor ELSE amount_minor END)::bigint
                        AS balance
             FROM journal_posting
             WHERE outfit_id = $1 AND account IN ('payable_to_worker', 'receivable_from_mill')
             GROUP BY worker_id, mill_id",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .load(&mut self.connection)
        .await?;
        rows.into_iter().map(|row| Ok((payee(row.worker_id, row.mill_id)?, row.balance))).collect()
    }
}

/// The columns of an account: its name, the task, the worker, the mill, and what else tells it from its like.
type AccountColumns =
    (&'static str, Option<&'static str>, Option<uuid::Uuid>, Option<uuid::Uuid>, Option<&'static str>);

fn columns(account: Account) -> AccountColumns {
    let of_worker = |name, worker: WorkerId| (name, None, Some(worker.uuid()), None, None);
    match account {
        Account::WorkExpense(task) => ("work_expense", Some(task.name()), None, None, None),
        Account::WageExpense(supplement) => ("wage_expense", None, None, None, Some(supplement.name())),
        Account::PayableToWorker(worker) => of_worker("payable_to_worker", worker),
        Account::HoldbackPayable(worker) => of_worker("holdback_payable", worker),
        Account::AdvanceToWorker(worker) => of_worker("advance_to_worker", worker),
        Account::ChargesRecovered(kind) => ("charges_recovered", None, None, None, Some(kind.name())),
        Account::ReceivableFromMill(mill) => ("receivable_from_mill", None, None, Some(mill.uuid()), None),
        Account::TimberIncome => ("timber_income", None, None, None, None),
        Account::Cash => ("cash", None, None, None, None),
    }
}
