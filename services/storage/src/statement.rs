//! Statements: what each payee has coming from a settlement.

use std::collections::BTreeMap;

use ::settlement::Payee;
use diesel::sql_types::{BigInt, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JournalEntryId, SettlementId, StatementId};

use crate::schema::{settlement_posting, statement};
use crate::settlement::{payee, payee_uuids};
use crate::{Books, Page, StorageError};

/// What one payee has coming from one settlement, in the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Its id.
    pub id: StatementId,
    /// The settlement.
    pub settlement: SettlementId,
    /// The payee.
    pub payee: Payee,
    /// The balance before.
    pub opening_minor: i64,
    /// What came and went since the last statement.
    pub moved_minor: i64,
    /// What the lines add.
    pub earned_minor: i64,
    /// What is added to a worker's pay.
    pub added_minor: i64,
    /// What is kept back of it.
    pub kept_back_minor: i64,
    /// The balance after.
    pub closing_minor: i64,
}

/// Which statements a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StatementFilter {
    /// Of this settlement.
    pub settlement: Option<SettlementId>,
    /// Of the week that ends on this day.
    pub week_ends_on: Option<Date>,
    /// To this payee.
    pub to: Option<Payee>,
}

type Row = (uuid::Uuid, uuid::Uuid, Option<uuid::Uuid>, Option<uuid::Uuid>, (i64, i64, i64, i64, i64, i64));

fn read((id, settlement, worker, mill, figures): Row) -> Result<Statement, StorageError> {
    let (opening_minor, moved_minor, earned_minor, added_minor, kept_back_minor, closing_minor) = figures;
    Ok(Statement {
        id: StatementId::from_uuid(id),
        settlement: SettlementId::from_uuid(settlement),
        payee: payee(worker, mill)?,
        opening_minor,
        moved_minor,
        earned_minor,
        added_minor,
        kept_back_minor,
        closing_minor,
    })
}

macro_rules! statements {
    ($books:ident) => {
        statement::table.filter(statement::outfit_id.eq($books.outfit_uuid())).select((
            statement::statement_id,
            statement::settlement_id,
            statement::worker_id,
            statement::mill_id,
            (
                statement::opening_minor,
                statement::moved_minor,
                statement::earned_minor,
                statement::added_minor,
                statement::kept_back_minor,
                statement::closing_minor,
            ),
        ))
    };
}

impl Books {
    /// Keeps the statements of a posting.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_statements(&mut self, new: &[Statement]) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        let rows: Vec<_> = new
            .iter()
            .map(|one| {
                let (worker, mill) = payee_uuids(one.payee);
                (
                    statement::outfit_id.eq(outfit),
                    statement::statement_id.eq(one.id.uuid()),
                    statement::settlement_id.eq(one.settlement.uuid()),
                    statement::worker_id.eq(worker),
                    statement::mill_id.eq(mill),
                    statement::opening_minor.eq(one.opening_minor),
                    statement::moved_minor.eq(one.moved_minor),
                    statement::earned_minor.eq(one.earned_minor),
                    statement::added_minor.eq(one.added_minor),
                    statement::kept_back_minor.eq(one.kept_back_minor),
                    statement::closing_minor.eq(one.closing_minor),
                )
            })
            .collect();
        diesel::insert_into(statement::table).values(rows).execute(&mut self.connection).await?;
        Ok(())
    }

    /// The statement with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn statement(&mut self, id: StatementId) -> Result<Option<Statement>, StorageError> {
        statements!(self)
            .filter(statement::statement_id.eq(id.uuid()))
            .first::<Row>(&mut self.connection)
            .await
            .optional()?
            .map(read)
            .transpose()
    }

    /// A page of statements, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn statements(
        &mut self,
        filter: StatementFilter,
        page: Page<StatementId>,
    ) -> Result<Vec<Statement>, StorageError> {
        let mut query = statements!(self)
            .filter(statement::statement_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(statement::statement_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(settlement) = filter.settlement {
            query = query.filter(statement::settlement_id.eq(settlement.uuid()));
        }
        if let Some(week) = filter.week_ends_on {
            let of_the_week = settlement_posting::table
                .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
                .filter(settlement_posting::week_ends_on.eq(jiff_diesel::Date::from(week)))
                .select(settlement_posting::settlement_id);
            query = query.filter(statement::settlement_id.eq_any(of_the_week));
        }
        match filter.to {
            Some(Payee::Worker(worker)) => query = query.filter(statement::worker_id.eq(worker.uuid())),
            Some(Payee::Mill(mill)) => query = query.filter(statement::mill_id.eq(mill.uuid())),
            None => {}
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }
}

/// Money that came to a payee's account or went from it beside the settlements, in the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Movement {
    /// Its entry in the journal.
    pub entry: JournalEntryId,
    /// The day it belongs to.
    pub dated: Date,
    /// What it was, in words.
    pub says: String,
    /// Below zero where it went.
    pub amount_minor: i64,
}

/// Sums over a payee's statements, in the currency's smallest unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, QueryableByName)]
pub struct StatementSums {
    /// What the lines came to.
    #[diesel(sql_type = BigInt)]
    pub earned_minor: i64,
    /// What was added.
    #[diesel(sql_type = BigInt)]
    pub added_minor: i64,
    /// What was kept back.
    #[diesel(sql_type = BigInt)]
    pub kept_back_minor: i64,
    /// What came and went beside.
    #[diesel(sql_type = BigInt)]
    pub moved_minor: i64,
}

#[derive(QueryableByName)]
struct MovementRow {
    #[diesel(sql_type = SqlUuid)]
    journal_entry_id: uuid::Uuid,
    #[diesel(sql_type = SqlDate)]
    dated: jiff_diesel::Date,
    #[diesel(sql_type = Text)]
    says: String,
    #[diesel(sql_type = BigInt)]
    amount_minor: i64,
}

impl Books {
    /// What each payee's last statement closed with.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn last_closings(&mut self) -> Result<BTreeMap<Payee, i64>, StorageError> {
        let rows: Vec<(Option<uuid::Uuid>, Option<uuid::Uuid>, i64)> = statement::table
            .filter(statement::outfit_id.eq(self.outfit_uuid()))
            .distinct_on((statement::worker_id, statement::mill_id))
            .order((statement::worker_id, statement::mill_id, statement::statement_id.desc()))
            .select((statement::worker_id, statement::mill_id, statement::closing_minor))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(|(worker, mill, closing)| Ok((payee(worker, mill)?, closing))).collect()
    }

    /// What came to a payee's account and went from it between the statement before this one and this one.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn movements(&mut self, of: &Statement) -> Result<Vec<Movement>, StorageError> {
        let (worker, mill) = payee_uuids(of.payee);
        // Ids ascend, so a statement's entries lie between the entries of two postings.
        let rows: Vec<MovementRow> = diesel::sql_query(
            "SELECT entry.journal_entry_id, entry.dated, entry.says,
                    CASE posting.account WHEN 'payable_to_worker' THEN -posting.amount_minor
                         ELSE posting.amount_minor END AS amount_minor
             FROM journal_posting AS posting
             JOIN journal_entry AS entry USING (outfit_id, journal_entry_id)
             WHERE outfit_id = $1 AND posting.account IN ('payable_to_worker', 'receivable_from_mill')
               AND posting.worker_id IS NOT DISTINCT FROM $2 AND posting.mill_id IS NOT DISTINCT FROM $3
               AND NOT EXISTS (SELECT FROM settlement_posting AS posted
                               WHERE posted.outfit_id = entry.outfit_id
                                 AND posted.journal_entry_id = entry.journal_entry_id)
               AND entry.journal_entry_id < $4
               AND entry.journal_entry_id > coalesce(
                   (SELECT max(before.statement_id::text)::uuid FROM statement AS before
                    WHERE before.outfit_id = $1 AND before.worker_id IS NOT DISTINCT FROM $2
                      AND before.mill_id IS NOT DISTINCT FROM $3 AND before.statement_id < $4),
                   '00000000-0000-0000-0000-000000000000')
             ORDER BY entry.journal_entry_id",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<Nullable<SqlUuid>, _>(worker)
        .bind::<Nullable<SqlUuid>, _>(mill)
        .bind::<SqlUuid, _>(of.id.uuid())
        .load(&mut self.connection)
        .await?;
        Ok(rows
            .into_iter()
            .map(|row| Movement {
                entry: JournalEntryId::from_uuid(row.journal_entry_id),
                dated: row.dated.to_jiff(),
                says: row.says,
                amount_minor: row.amount_minor,
            })
            .collect())
    }

    /// Sums over a payee's statements for weeks that end between two days.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn statement_sums(
        &mut self,
        of: Payee,
        from: Date,
        to: Date,
    ) -> Result<StatementSums, StorageError> {
        let (worker, mill) = payee_uuids(of);
        let rows: Vec<StatementSums> = diesel::sql_query(
            "SELECT coalesce(sum(earned_minor), 0)::bigint AS earned_minor,
                    coalesce(sum(added_minor), 0)::bigint AS added_minor,
                    coalesce(sum(kept_back_minor), 0)::bigint AS kept_back_minor,
                    coalesce(sum(moved_minor), 0)::bigint AS moved_minor
             FROM statement JOIN settlement USING (outfit_id, settlement_id)
             WHERE outfit_id = $1 AND worker_id IS NOT DISTINCT FROM $2 AND mill_id IS NOT DISTINCT FROM $3
               AND week_ends_on BETWEEN $4 AND $5",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<Nullable<SqlUuid>, _>(worker)
        .bind::<Nullable<SqlUuid>, _>(mill)
        .bind::<SqlDate, _>(jiff_diesel::Date::from(from))
        .bind::<SqlDate, _>(jiff_diesel::Date::from(to))
        .load(&mut self.connection)
        .await?;
        Ok(rows.into_iter().next().unwrap_or_default())
    }
}
