//! Holdback: what is held of each worker's pay under each contract, and what was let go of it.

use std::collections::BTreeMap;

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Uuid as SqlUuid};
use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, Id, JournalEntryId, ReleaseId, WorkerId};

use crate::money_filter::{page_of_money, reversed_columns, with_reversal};
use crate::reversal::{ReversedColumns, reversed};
use crate::schema::holdback_release;
use crate::{Books, MoneyFilter, Page, Reversed, Stamp, StorageError};

/// Holdback that is let go: from then on it is owed like other pay. In the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// Its id.
    pub id: ReleaseId,
    /// Whose.
    pub worker: WorkerId,
    /// Under which contract it was held.
    pub contract: ContractId,
    /// The day.
    pub dated: Date,
    /// Why, in words.
    pub says: String,
    /// How much.
    pub amount_minor: i64,
    /// The journal entry that books it.
    pub entry: JournalEntryId,
    /// Who recorded it, and when.
    pub made: Stamp,
}

/// A release, and whether it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReleaseState {
    /// The release.
    pub release: Release,
    /// That it does not stand.
    pub reversed: Option<Reversed>,
}

type Row = (
    (uuid::Uuid, uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String, i64, uuid::Uuid),
    (jiff_diesel::Timestamp, String),
    ReversedColumns,
);

fn read((facts, (at, by), columns): Row) -> ReleaseState {
    let (id, worker, contract, dated, says, amount_minor, entry) = facts;
    ReleaseState {
        release: Release {
            id: ReleaseId::from_uuid(id),
            worker: WorkerId::from_uuid(worker),
            contract: ContractId::from_uuid(contract),
            dated: dated.to_jiff(),
            says,
            amount_minor,
            entry: JournalEntryId::from_uuid(entry),
            made: Stamp { at: at.to_jiff(), by },
        },
        reversed: reversed(columns),
    }
}

macro_rules! releases {
    ($books:ident) => {
        with_reversal!(holdback_release.release_id)
            .filter(holdback_release::outfit_id.eq($books.outfit_uuid()))
            .select((
                (
                    holdback_release::release_id,
                    holdback_release::worker_id,
                    holdback_release::contract_id,
                    holdback_release::dated,
                    holdback_release::says,
                    holdback_release::amount_minor,
                    holdback_release::journal_entry_id,
                ),
                (holdback_release::made_at, holdback_release::made_by),
                reversed_columns!(),
            ))
    };
}

#[derive(QueryableByName)]
struct HeldRow {
    #[diesel(sql_type = SqlUuid)]
    worker_id: uuid::Uuid,
    #[diesel(sql_type = SqlUuid)]
    contract_id: uuid::Uuid,
    #[diesel(sql_type = BigInt)]
    held_minor: i64,
}

impl Books {
    /// Records that holdback is let go; its journal entry must be there.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the worker or the contract is not the outfit's.
    pub async fn add_release(&mut self, new: &Release) -> Result<(), StorageError> {
        diesel::insert_into(holdback_release::table)
            .values((
                holdback_release::outfit_id.eq(self.outfit_uuid()),
                holdback_release::release_id.eq(new.id.uuid()),
                holdback_release::worker_id.eq(new.worker.uuid()),
                holdback_release::contract_id.eq(new.contract.uuid()),
                holdback_release::dated.eq(jiff_diesel::Date::from(new.dated)),
                holdback_release::says.eq(&new.says),
                holdback_release::amount_minor.eq(new.amount_minor),
                holdback_release::journal_entry_id.eq(new.entry.uuid()),
                holdback_release::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                holdback_release::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of releases, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn releases(
        &mut self,
        filter: MoneyFilter,
        page: Page<ReleaseId>,
    ) -> Result<Vec<ReleaseState>, StorageError> {
        let query = page_of_money!(releases!(self), holdback_release.release_id, filter, page);
        let rows = query.load::<Row>(&mut self.connection).await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The release with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn release(&mut self, id: ReleaseId) -> Result<Option<ReleaseState>, StorageError> {
        let rows: Vec<Row> = releases!(self)
            .filter(holdback_release::release_id.eq(id.uuid()))
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().next().map(read))
    }

    /// What is held of each worker under each contract now: kept back by posted settlements, less what was let go.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn held(&mut self) -> Result<BTreeMap<(WorkerId, ContractId), i64>, StorageError> {
        let rows: Vec<HeldRow> = diesel::sql_query(
            "SELECT worker_id, contract_id, sum(minor)::bigint AS held_minor
             FROM (SELECT worker_id, contract_id, taken_minor AS minor FROM settlement_take_off
                   WHERE outfit_id = $1 AND contract_id IS NOT NULL
                   UNION ALL
                   SELECT worker_id, contract_id, -amount_minor FROM holdback_release AS let_go
                   WHERE outfit_id = $1
                     AND NOT EXISTS (SELECT FROM reversal WHERE reversal.outfit_id = let_go.outfit_id
                                       AND reversal.release_id = let_go.release_id)) AS movement
             GROUP BY worker_id, contract_id",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .load(&mut self.connection)
        .await?;
        Ok(rows
            .into_iter()
            .map(|row| {
                let key = (WorkerId::from_uuid(row.worker_id), ContractId::from_uuid(row.contract_id));
                (key, row.held_minor)
            })
            .collect())
    }
}
