//! Statements: what each payee has coming from a settlement.

use ::settlement::Payee;
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{Id, SettlementId, StatementId};

use crate::schema::statement;
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

    /// A page of statements, oldest first; of one settlement or one payee when asked.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn statements(
        &mut self,
        of: Option<SettlementId>,
        to: Option<Payee>,
        page: Page<StatementId>,
    ) -> Result<Vec<Statement>, StorageError> {
        let mut query = statements!(self)
            .filter(statement::statement_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(statement::statement_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(settlement) = of {
            query = query.filter(statement::settlement_id.eq(settlement.uuid()));
        }
        match to {
            Some(Payee::Worker(worker)) => query = query.filter(statement::worker_id.eq(worker.uuid())),
            Some(Payee::Mill(mill)) => query = query.filter(statement::mill_id.eq(mill.uuid())),
            None => {}
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }
}
