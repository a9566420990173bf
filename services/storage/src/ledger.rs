//! Reading the journal back: its entries, and what each account stands at.

use std::collections::{BTreeMap, HashMap};

use ::settlement::{Account, AccountKind, ChargeKind, Supplement, Task};
use diesel::QueryableByName;
use diesel::sql_types::{Array, BigInt, Date as SqlDate, Nullable, Text, Timestamptz, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JournalEntryId, MillId, WorkerId};

use crate::{Books, JournalEntry, Page, Stamp, StorageError};

/// Which entries of the journal. An entry is there whole as soon as one of its postings fits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct JournalFilter {
    /// Only this one.
    pub entry: Option<JournalEntryId>,
    /// Dated on this day or later.
    pub from: Option<Date>,
    /// Dated on this day or earlier.
    pub to: Option<Date>,
    /// With a posting on an account of this kind.
    pub kind: Option<AccountKind>,
    /// On an account of this worker; of the named kind, where there is one.
    pub worker: Option<WorkerId>,
    /// On an account of this mill; of the named kind, where there is one.
    pub mill: Option<MillId>,
}

#[derive(QueryableByName)]
struct EntryRow {
    #[diesel(sql_type = SqlUuid)]
    journal_entry_id: uuid::Uuid,
    #[diesel(sql_type = SqlDate)]
    dated: jiff_diesel::Date,
    #[diesel(sql_type = Text)]
    says: String,
    #[diesel(sql_type = Timestamptz)]
    made_at: jiff_diesel::Timestamp,
    #[diesel(sql_type = Text)]
    made_by: String,
}

const ENTRIES: &str = "
SELECT entry.journal_entry_id, entry.dated, entry.says, entry.made_at, entry.made_by
FROM journal_entry AS entry
WHERE entry.outfit_id = $1
  AND entry.dated BETWEEN coalesce($2, '-infinity'::date) AND coalesce($3, 'infinity'::date)
  AND (($4 IS NULL AND $5 IS NULL AND $6 IS NULL)
       OR EXISTS (SELECT FROM journal_posting AS posting
                  WHERE posting.outfit_id = entry.outfit_id AND posting.journal_entry_id = entry.journal_entry_id
                    AND ($4 IS NULL OR posting.account = $4) AND ($5 IS NULL OR posting.worker_id = $5)
                    AND ($6 IS NULL OR posting.mill_id = $6)))
  AND entry.journal_entry_id > $7 AND ($9 IS NULL OR entry.journal_entry_id = $9)";

#[derive(QueryableByName)]
struct PostingRow {
    #[diesel(sql_type = SqlUuid)]
    journal_entry_id: uuid::Uuid,
    #[diesel(embed)]
    account: AccountRow,
    #[diesel(sql_type = BigInt)]
    amount_minor: i64,
}

#[derive(QueryableByName)]
struct SumRow {
    #[diesel(embed)]
    account: AccountRow,
    #[diesel(sql_type = BigInt)]
    amount_minor: i64,
}

/// The columns that name an account.
#[derive(QueryableByName)]
struct AccountRow {
    #[diesel(sql_type = Text)]
    account: String,
    #[diesel(sql_type = Nullable<Text>)]
    task: Option<String>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    worker_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    mill_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<Text>)]
    detail: Option<String>,
}

impl AccountRow {
    /// The account that they name.
    fn read(self) -> Result<Account, StorageError> {
        let unreadable =
            |what: &str| StorageError::inconsistent("journal_posting", format!("{what} is not there"));
        let named = |name: &str, known: Option<&String>| known.is_some_and(|known| known == name);
        let kind = AccountKind::ALL.into_iter().find(|kind| kind.name() == self.account);
        let worker = || self.worker_id.map(WorkerId::from_uuid).ok_or_else(|| unreadable("the worker"));
        match kind.ok_or_else(|| unreadable("the account"))? {
            AccountKind::WorkExpense => {
                let task = Task::ALL.into_iter().find(|task| named(task.name(), self.task.as_ref()));
                Ok(Account::WorkExpense(task.ok_or_else(|| unreadable("the task"))?))
            }
            AccountKind::WageExpense => {
                let mut known = Supplement::ALL.into_iter();
                let found = known.find(|supplement| named(supplement.name(), self.detail.as_ref()));
                Ok(Account::WageExpense(found.ok_or_else(|| unreadable("the supplement"))?))
            }
            AccountKind::PayableToWorker => Ok(Account::PayableToWorker(worker()?)),
            AccountKind::HoldbackPayable => Ok(Account::HoldbackPayable(worker()?)),
            AccountKind::AdvanceToWorker => Ok(Account::AdvanceToWorker(worker()?)),
            AccountKind::ChargesRecovered => {
                let found = ChargeKind::ALL.into_iter().find(|kind| named(kind.name(), self.detail.as_ref()));
                Ok(Account::ChargesRecovered(found.ok_or_else(|| unreadable("the kind of charge"))?))
            }
            AccountKind::ReceivableFromMill => {
                let mill = self.mill_id.map(MillId::from_uuid);
                Ok(Account::ReceivableFromMill(mill.ok_or_else(|| unreadable("the mill"))?))
            }
            AccountKind::TimberIncome => Ok(Account::TimberIncome),
            AccountKind::Cash => Ok(Account::Cash),
        }
    }
}

impl Books {
    /// A page of the journal's entries with all their postings, oldest written first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn journal(
        &mut self,
        filter: &JournalFilter,
        page: Page<JournalEntryId>,
    ) -> Result<Vec<JournalEntry>, StorageError> {
        self.entries(filter, "journal_entry_id", page.after, Some(page.limit)).await
    }

    /// All entries dated within these days with all their postings, in the order of the days, and on each day in the
    /// order they were written.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn journal_by_day(
        &mut self,
        from: Option<Date>,
        to: Option<Date>,
    ) -> Result<Vec<JournalEntry>, StorageError> {
        let filter = JournalFilter { from, to, ..JournalFilter::default() };
        self.entries(&filter, "dated, journal_entry_id", None, None).await
    }

    async fn entries(
        &mut self,
        filter: &JournalFilter,
        order: &str,
        after: Option<JournalEntryId>,
        limit: Option<u16>,
    ) -> Result<Vec<JournalEntry>, StorageError> {
        // No limit is written as NULL, which is what LIMIT takes for none.
        let rows: Vec<EntryRow> = diesel::sql_query(format!("{ENTRIES} ORDER BY {order} LIMIT $8"))
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Nullable<SqlDate>, _>(filter.from.map(jiff_diesel::Date::from))
            .bind::<Nullable<SqlDate>, _>(filter.to.map(jiff_diesel::Date::from))
            .bind::<Nullable<Text>, _>(filter.kind.map(AccountKind::name))
            .bind::<Nullable<SqlUuid>, _>(filter.worker.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(filter.mill.map(Id::uuid))
            .bind::<SqlUuid, _>(after.map_or(uuid::Uuid::nil(), Id::uuid))
            .bind::<Nullable<BigInt>, _>(limit.map(i64::from))
            .bind::<Nullable<SqlUuid>, _>(filter.entry.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        let ids: Vec<_> = rows.iter().map(|row| row.journal_entry_id).collect();
        let mut postings = self.postings(&ids).await?;
        Ok(rows
            .into_iter()
            .map(|row| JournalEntry {
                id: JournalEntryId::from_uuid(row.journal_entry_id),
                dated: row.dated.to_jiff(),
                says: row.says,
                postings: postings.remove(&row.journal_entry_id).unwrap_or_default(),
                made: Stamp { at: row.made_at.to_jiff(), by: row.made_by },
            })
            .collect())
    }

    /// The postings of these entries, each entry's in their order.
    async fn postings(
        &mut self,
        entries: &[uuid::Uuid],
    ) -> Result<HashMap<uuid::Uuid, Vec<(Account, i64)>>, StorageError> {
        let rows: Vec<PostingRow> = diesel::sql_query(
            "SELECT journal_entry_id, account, task, worker_id, mill_id, detail, amount_minor
             FROM journal_posting
             WHERE outfit_id = $1 AND journal_entry_id = ANY ($2)
             ORDER BY journal_entry_id, position",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<Array<SqlUuid>, _>(entries)
        .load(&mut self.connection)
        .await?;
        let mut postings: HashMap<uuid::Uuid, Vec<(Account, i64)>> = HashMap::new();
        for row in rows {
            let posting = (row.account.read()?, row.amount_minor);
            postings.entry(row.journal_entry_id).or_default().push(posting);
        }
        Ok(postings)
    }

    /// What every account stands at when a day ends, by the entries dated up to it, in the smallest unit; a debit is
    /// positive. Accounts that nothing was posted to are not there; those that came back to zero are.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn account_balances(&mut self, on: Date) -> Result<BTreeMap<Account, i64>, StorageError> {
        let rows: Vec<SumRow> = diesel::sql_query(
            "SELECT account, task, worker_id, mill_id, detail, sum(amount_minor)::bigint AS amount_minor
             FROM journal_posting
             JOIN journal_entry USING (outfit_id, journal_entry_id)
             WHERE outfit_id = $1 AND dated <= $2
             GROUP BY account, task, worker_id, mill_id, detail",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlDate, _>(jiff_diesel::Date::from(on))
        .load(&mut self.connection)
        .await?;
        rows.into_iter().map(|row| Ok((row.account.read()?, row.amount_minor))).collect()
    }
}
