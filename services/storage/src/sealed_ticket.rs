//! Tickets as they are sealed: the columns as they lie, nothing read into them.

use std::collections::HashSet;

use ::seal::{RecordKind, SealedTicket, TICKET_FORM};
use diesel::{ExpressionMethods, NullableExpressionMethods, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use kernel::{Id, JobId, LandingId, MillId, OutfitId, SettlementId, TicketId};
use serde_json::Value;

use crate::schema::{seal, seal_leaf, settlement_posting, ticket};
use crate::{Books, StorageError};

#[derive(QueryableByName)]
struct CountRow {
    #[diesel(sql_type = diesel::sql_types::BigInt)]
    unsealed: i64,
}

type Row = (
    (uuid::Uuid, String, i64, uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String),
    (Value, Option<Value>, Option<uuid::Uuid>, Value, Option<String>),
    (Option<uuid::Uuid>, Option<String>, Vec<u8>, jiff_diesel::Timestamp, String),
    (Option<jiff_diesel::Timestamp>, Option<jiff_diesel::Timestamp>, Option<i64>, Option<uuid::Uuid>),
);

fn sealed(outfit_id: OutfitId, row: Row) -> SealedTicket {
    let (
        (id, book, number, job, landing, scaled_on, scaler),
        (work, turn, delivered_to, pieces, remarks),
        (corrects, correction_reason, fingerprint, accepted_at, accepted_by),
        (measured_at, sent_at, device_clock_ahead_seconds, late_for),
    ) = row;
    SealedTicket {
        kind: RecordKind::Ticket,
        form: TICKET_FORM,
        outfit_id,
        ticket_id: TicketId::from_uuid(id),
        book,
        number,
        job_id: JobId::from_uuid(job),
        landing_id: LandingId::from_uuid(landing),
        scaled_on: scaled_on.to_jiff(),
        scaler,
        work,
        turn,
        delivered_to: delivered_to.map(MillId::from_uuid),
        pieces,
        remarks,
        corrects: corrects.map(TicketId::from_uuid),
        correction_reason,
        fingerprint: kernel::hexadecimal(&fingerprint),
        measured_at: measured_at.map(jiff_diesel::Timestamp::to_jiff),
        sent_at: sent_at.map(jiff_diesel::Timestamp::to_jiff),
        device_clock_ahead_seconds,
        late_for: late_for.map(SettlementId::from_uuid),
        accepted_at: accepted_at.to_jiff(),
        accepted_by,
    }
}

impl Books {
    /// The tickets with these ids as they are sealed, in the order of their ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn sealed_tickets(&mut self, ids: &[TicketId]) -> Result<Vec<SealedTicket>, StorageError> {
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let rows: Vec<Row> = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::ticket_id.eq_any(ids))
            .order(ticket::ticket_id)
            .select((
                (
                    ticket::ticket_id,
                    ticket::book,
                    ticket::number,
                    ticket::job_id,
                    ticket::landing_id,
                    ticket::scaled_on,
                    ticket::scaler,
                ),
                (ticket::work, ticket::turn, ticket::delivered_to, ticket::pieces, ticket::remarks),
                (
                    ticket::corrects,
                    ticket::correction_reason,
                    ticket::fingerprint,
                    ticket::accepted_at,
                    ticket::accepted_by,
                ),
                (
                    ticket::device_time_measured,
                    ticket::device_time_sent,
                    ticket::device_clock_ahead_seconds,
                    ticket::late_for,
                ),
            ))
            .load(&mut self.connection)
            .await?;
        let outfit = self.outfit();
        Ok(rows.into_iter().map(|row| sealed(outfit, row)).collect())
    }

    /// Every accepted ticket that is no leaf yet, in the order of the ids.
    ///
    /// They are where the weeks after a posting that was sealed are, or were late: that seal covers every other ticket. Only where
    /// tickets and leaves do not come to as many, because somebody has been at the tables, all of them are looked through, so
    /// that what was slipped in is sealed as well and can be seen in the records.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn unsealed_tickets(&mut self) -> Result<Vec<TicketId>, StorageError> {
        let mut ids = Vec::new();
        if let Some(week) = self.sealed_week().await? {
            ids = self.unsealed_after(week).await?;
            ids.extend(self.unsealed_of(true).await?);
            ids.sort_unstable();
            ids.dedup();
        }
        if i64::try_from(ids.len()).ok() != Some(self.count_unsealed().await?) {
            ids = self.unsealed_of(false).await?;
            ids.sort_unstable();
        }
        Ok(ids.into_iter().map(TicketId::from_uuid).collect())
    }

    /// How many tickets more than leaves of tickets there are. Leaves are counted by the position of the last one.
    async fn count_unsealed(&mut self) -> Result<i64, StorageError> {
        let row: CountRow = diesel::sql_query(
            "SELECT (SELECT count(*) FROM ticket WHERE outfit_id = $1)
                    - (SELECT coalesce(max(position) + 1, 0) FROM seal_leaf WHERE outfit_id = $1)
                    + (SELECT count(*) FROM seal_leaf WHERE outfit_id = $1 AND settlement_id IS NOT NULL) AS unsealed",
        )
        .bind::<diesel::sql_types::Uuid, _>(self.outfit_uuid())
        .get_result(&mut self.connection)
        .await?;
        Ok(row.unsealed)
    }

    /// Those among all tickets, or among the late ones.
    async fn unsealed_of(&mut self, late_only: bool) -> Result<Vec<uuid::Uuid>, StorageError> {
        let leaves = seal_leaf::table
            .filter(seal_leaf::outfit_id.eq(self.outfit_uuid()))
            .filter(seal_leaf::ticket_id.eq(ticket::ticket_id.nullable()));
        let mut query = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(diesel::dsl::not(diesel::dsl::exists(leaves)))
            .select(ticket::ticket_id)
            .into_boxed();
        if late_only {
            query = query.filter(ticket::late_for.is_not_null());
        }
        Ok(query.load(&mut self.connection).await?)
    }

    /// Those of the weeks after one. Their leaves are looked for between the first id and the last, not among those of every
    /// year.
    async fn unsealed_after(&mut self, week: jiff_diesel::Date) -> Result<Vec<uuid::Uuid>, StorageError> {
        let mut ids: Vec<uuid::Uuid> = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::scaled_on.gt(week))
            .order(ticket::ticket_id)
            .select(ticket::ticket_id)
            .load(&mut self.connection)
            .await?;
        let ends = ids.as_slice().first().copied().zip(ids.as_slice().last().copied());
        let Some((first, last)) = ends else { return Ok(ids) };
        let sealed: Vec<Option<uuid::Uuid>> = seal_leaf::table
            .filter(seal_leaf::outfit_id.eq(self.outfit_uuid()))
            .filter(seal_leaf::ticket_id.between(first, last))
            .select(seal_leaf::ticket_id)
            .load(&mut self.connection)
            .await?;
        let sealed: HashSet<uuid::Uuid> = sealed.into_iter().flatten().collect();
        ids.retain(|id| !sealed.contains(id));
        Ok(ids)
    }

    /// The latest week with whose posting a seal was made.
    async fn sealed_week(&mut self) -> Result<Option<jiff_diesel::Date>, StorageError> {
        let with_it = seal::table
            .filter(seal::outfit_id.eq(self.outfit_uuid()))
            .filter(seal::settlement_id.eq(settlement_posting::settlement_id.nullable()));
        Ok(settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .filter(diesel::dsl::exists(with_it))
            .select(diesel::dsl::max(settlement_posting::week_ends_on))
            .first(&mut self.connection)
            .await?)
    }
}
