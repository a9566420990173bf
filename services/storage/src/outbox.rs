//! What there is to tell: audit entries in the order of their transactions, behind what was told already.

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Bool, Integer, Nullable, Text, Timestamptz, Uuid as SqlUuid};
use diesel_async::{AsyncPgConnection, RunQueryDsl};
use jiff::Timestamp;
use kernel::{AuditEntryId, EventSubscriptionId, Id, OutfitId};
use uuid::Uuid;

use crate::delivery::{EventPlace, part_back};
use crate::{Books, StorageError, Store};

/// An audit entry as something to tell of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutboxEntry {
    /// The transaction it was made in.
    pub transaction: i64,
    /// Its id.
    pub id: AuditEntryId,
    /// When the change was made.
    pub made_at: Timestamp,
    /// By which operation of the API.
    pub operation: String,
    /// The record that was made.
    pub about: Uuid,
}

/// How far a subscription has been told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Told {
    /// The last event that was delivered or given up.
    pub place: EventPlace,
    /// Whether its entry has no event behind it.
    pub closes_entry: bool,
}

/// How far behind deliveries are, over all outfits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DeliveryLag {
    /// Entries that a subscription has not been told of yet, each counted once for each subscription; ten thousand at
    /// the most for each subscription and operation.
    pub waiting: u64,
    /// When the oldest of them was made.
    pub oldest: Option<Timestamp>,
    /// Events that were given up, and that nobody has had sent again.
    pub dead: u64,
}

#[derive(QueryableByName)]
struct EntryRow {
    #[diesel(sql_type = BigInt)]
    transaction_id: i64,
    #[diesel(sql_type = SqlUuid)]
    audit_entry_id: Uuid,
    #[diesel(sql_type = Timestamptz)]
    made_at: jiff_diesel::Timestamp,
    #[diesel(sql_type = Text)]
    operation: String,
    #[diesel(sql_type = SqlUuid)]
    about: Uuid,
}

#[derive(QueryableByName)]
struct ToldRow {
    #[diesel(sql_type = BigInt)]
    transaction_id: i64,
    #[diesel(sql_type = SqlUuid)]
    audit_entry_id: Uuid,
    #[diesel(sql_type = Integer)]
    part: i32,
    #[diesel(sql_type = Bool)]
    closes_entry: bool,
}

#[derive(QueryableByName)]
struct OutfitRow {
    #[diesel(sql_type = SqlUuid)]
    outfit_id: Uuid,
}

#[derive(QueryableByName)]
struct LagRow {
    #[diesel(sql_type = BigInt)]
    waiting: i64,
    #[diesel(sql_type = Nullable<Timestamptz>)]
    oldest: Option<jiff_diesel::Timestamp>,
    #[diesel(sql_type = BigInt)]
    dead: i64,
}

/// The fence (OFFSET 0) makes columns of what is computed: row-level security lets nothing else into the index.
const BEHIND: &str = "
SELECT entry.transaction_id, entry.audit_entry_id, entry.made_at, entry.operation, entry.about
FROM (SELECT outfit_id, kinds, made_in, coalesce($3, transaction_id) AS transaction_id,
             coalesce($4, audit_entry_id) AS audit_entry_id
      FROM subscription_told WHERE outfit_id = $1 AND subscription_id = $2 OFFSET 0) AS told
CROSS JOIN LATERAL unnest(operations_told(told.kinds)) AS operation
CROSS JOIN LATERAL (
    SELECT * FROM audit_entry
    WHERE audit_entry.outfit_id = told.outfit_id AND audit_entry.operation = operation.operation
      AND (audit_entry.transaction_id, audit_entry.audit_entry_id) > (told.transaction_id, told.audit_entry_id)
      AND audit_entry.transaction_id < transactions_over_below()
      AND NOT pg_visible_in_snapshot(audit_entry.transaction_id::text::xid8, told.made_in::pg_snapshot)
    ORDER BY audit_entry.transaction_id, audit_entry.audit_entry_id
    LIMIT $5) AS entry
ORDER BY entry.transaction_id, entry.audit_entry_id
LIMIT $5";

impl Books {
    /// How far a subscription has been told; none when nothing was delivered or given up yet.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn told(&mut self, subscription: EventSubscriptionId) -> Result<Option<Told>, StorageError> {
        let rows: Vec<ToldRow> = diesel::sql_query(
            "SELECT transaction_id, audit_entry_id, part, closes_entry FROM delivery
             WHERE outfit_id = $1 AND subscription_id = $2
             ORDER BY transaction_id DESC, audit_entry_id DESC, part DESC, round DESC LIMIT 1",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .load(&mut self.connection)
        .await?;
        let Some(row) = rows.into_iter().next() else { return Ok(None) };
        let place = EventPlace {
            transaction: row.transaction_id,
            entry: AuditEntryId::from_uuid(row.audit_entry_id),
            part: part_back(row.part)?,
        };
        Ok(Some(Told { place, closes_entry: row.closes_entry }))
    }

    /// An entry that a subscription has been told some of.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn entry_to_tell(&mut self, id: AuditEntryId) -> Result<Option<OutboxEntry>, StorageError> {
        let rows: Vec<EntryRow> = diesel::sql_query(
            "SELECT transaction_id, audit_entry_id, made_at, operation, about FROM audit_entry
             WHERE outfit_id = $1 AND audit_entry_id = $2",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(id.uuid())
        .load(&mut self.connection)
        .await?;
        Ok(rows.into_iter().next().map(read))
    }

    /// The next entries of the kinds that a lasting subscription is told of, in the order of their transactions: behind
    /// `after`, or behind what it was told already. Only entries of transactions before which none is under way, so
    /// that nothing can come in among them later.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn entries_behind(
        &mut self,
        subscription: EventSubscriptionId,
        after: Option<(i64, AuditEntryId)>,
        limit: u16,
    ) -> Result<Vec<OutboxEntry>, StorageError> {
        let rows: Vec<EntryRow> = diesel::sql_query(BEHIND)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlUuid, _>(subscription.uuid())
            .bind::<Nullable<BigInt>, _>(after.map(|(transaction, _)| transaction))
            .bind::<Nullable<SqlUuid>, _>(after.map(|(_, entry)| entry.uuid()))
            .bind::<BigInt, _>(i64::from(limit))
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }
}

impl Store {
    /// The outfits that have something to tell, or to send again.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn outfits_to_tell(&self) -> Result<Vec<OutfitId>, StorageError> {
        let question = async |connection: &mut AsyncPgConnection| {
            let outfits = diesel::sql_query("SELECT outfit_id FROM outfits_to_tell() AS outfit_id");
            Ok(outfits.load::<OutfitRow>(connection).await?)
        };
        let rows = self.connections.ask(question).await?;
        Ok(rows.into_iter().map(|row| OutfitId::from_uuid(row.outfit_id)).collect())
    }

    /// How far behind deliveries are, over all outfits.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn delivery_lag(&self) -> Result<DeliveryLag, StorageError> {
        let question = async |connection: &mut AsyncPgConnection| {
            let lag = diesel::sql_query("SELECT waiting, oldest, dead FROM delivery_lag()");
            Ok(lag.get_result::<LagRow>(connection).await?)
        };
        let row = self.connections.ask(question).await?;
        let count = |number| u64::try_from(number).map_err(|why| StorageError::inconsistent("delivery", why));
        Ok(DeliveryLag {
            waiting: count(row.waiting)?,
            oldest: row.oldest.map(|at| at.to_jiff()),
            dead: count(row.dead)?,
        })
    }
}

fn read(row: EntryRow) -> OutboxEntry {
    OutboxEntry {
        transaction: row.transaction_id,
        id: AuditEntryId::from_uuid(row.audit_entry_id),
        made_at: row.made_at.to_jiff(),
        operation: row.operation,
        about: row.about,
    }
}
