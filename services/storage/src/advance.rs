//! Advances: money handed to workers before it was earned.

use ::settlement::Recovery;
use diesel::dsl::sql;
use diesel::sql_types::{BigInt, Bool};
use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{AdvanceId, Id, JournalEntryId, WorkerId};

use crate::money_filter::{outstanding_of, page_of_money, reversed_columns, taken_of, with_reversal};
use crate::reversal::{ReversedColumns, reversed};
use crate::schema::advance;
use crate::{Books, MoneyFilter, Page, Reversed, Stamp, StorageError};

/// Money handed to a worker before it was earned. Amounts are in the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advance {
    /// Its id.
    pub id: AdvanceId,
    /// Who was handed it.
    pub worker: WorkerId,
    /// The day.
    pub dated: Date,
    /// What for, in words.
    pub says: String,
    /// How much.
    pub amount_minor: i64,
    /// How it is recovered.
    pub recovery: Recovery,
    /// The journal entry that books it.
    pub entry: JournalEntryId,
    /// Who recorded it, and when.
    pub made: Stamp,
}

/// An advance, and how far it was recovered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdvanceState {
    /// The advance.
    pub advance: Advance,
    /// What posted settlements recovered of it.
    pub taken_minor: i64,
    /// That it does not stand.
    pub reversed: Option<Reversed>,
}

impl AdvanceState {
    /// What is still to be recovered; below zero where something taken must be given back.
    #[must_use]
    pub fn outstanding_minor(&self) -> i64 {
        let stands = if self.reversed.is_some() { 0 } else { self.advance.amount_minor };
        stands.saturating_sub(self.taken_minor)
    }
}

type Row = (
    (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String, i64, serde_json::Value, uuid::Uuid),
    (jiff_diesel::Timestamp, String),
    i64,
    ReversedColumns,
);

fn read((facts, (at, by), taken_minor, columns): Row) -> Result<AdvanceState, StorageError> {
    let (id, worker, dated, says, amount_minor, recovery, entry) = facts;
    let unreadable = |error| StorageError::inconsistent("advance", error);
    let recovery = serde_json::from_value(recovery).map_err(|error: serde_json::Error| unreadable(error))?;
    Ok(AdvanceState {
        advance: Advance {
            id: AdvanceId::from_uuid(id),
            worker: WorkerId::from_uuid(worker),
            dated: dated.to_jiff(),
            says,
            amount_minor,
            recovery,
            entry: JournalEntryId::from_uuid(entry),
            made: Stamp { at: at.to_jiff(), by },
        },
        taken_minor,
        reversed: reversed(columns),
    })
}

/// What posted settlements recovered of an advance.
const TAKEN: &str = taken_of!("advance");

macro_rules! advances {
    ($books:ident) => {
        with_reversal!(advance.advance_id).filter(advance::outfit_id.eq($books.outfit_uuid())).select((
            (
                advance::advance_id,
                advance::worker_id,
                advance::dated,
                advance::says,
                advance::amount_minor,
                advance::recovery,
                advance::journal_entry_id,
            ),
            (advance::made_at, advance::made_by),
            sql::<BigInt>(TAKEN),
            reversed_columns!(),
        ))
    };
}

impl Books {
    /// Records an advance; its journal entry must be there.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the worker is not the outfit's.
    pub async fn add_advance(&mut self, new: &Advance) -> Result<(), StorageError> {
        let unwritable = |error| StorageError::inconsistent("advance", error);
        let recovery =
            serde_json::to_value(new.recovery).map_err(|error: serde_json::Error| unwritable(error))?;
        diesel::insert_into(advance::table)
            .values((
                advance::outfit_id.eq(self.outfit_uuid()),
                advance::advance_id.eq(new.id.uuid()),
                advance::worker_id.eq(new.worker.uuid()),
                advance::dated.eq(jiff_diesel::Date::from(new.dated)),
                advance::says.eq(&new.says),
                advance::amount_minor.eq(new.amount_minor),
                advance::recovery.eq(recovery),
                advance::journal_entry_id.eq(new.entry.uuid()),
                advance::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                advance::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of advances, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn advances(
        &mut self,
        filter: MoneyFilter,
        page: Page<AdvanceId>,
    ) -> Result<Vec<AdvanceState>, StorageError> {
        let query = page_of_money!(advances!(self), advance.advance_id, filter, page);
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }

    /// The advance with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn advance(&mut self, id: AdvanceId) -> Result<Option<AdvanceState>, StorageError> {
        let rows: Vec<Row> =
            advances!(self).filter(advance::advance_id.eq(id.uuid())).load(&mut self.connection).await?;
        rows.into_iter().next().map(read).transpose()
    }

    /// The advances of days up to `day` of which something is still to be recovered or given back, in the order of days.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn advances_due(&mut self, day: Date) -> Result<Vec<AdvanceState>, StorageError> {
        let rows: Vec<Row> = advances!(self)
            .filter(advance::dated.le(jiff_diesel::Date::from(day)))
            .filter(sql::<Bool>(outstanding_of!("advance")))
            .order((advance::dated, advance::advance_id))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }
}
