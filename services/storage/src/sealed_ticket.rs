//! Tickets as they are sealed: the columns as they lie, nothing read into them.

use std::collections::HashSet;

use ::seal::{RecordKind, SealedTicket, TICKET_FORM};
use diesel::{ExpressionMethods, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{Id, JobId, LandingId, MillId, OutfitId, SettlementId, TicketId};
use serde_json::Value;

use crate::schema::{seal, seal_leaf, settlement_posting, ticket};
use crate::{Books, StorageError};

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
    /// What lies behind a posting that was sealed need not be looked at: that seal covers every ticket that was there, and what
    /// has come for those weeks since is marked as late.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn unsealed_tickets(&mut self) -> Result<Vec<TicketId>, StorageError> {
        let mut ids = match self.sealed_week().await? {
            None => self.unsealed_of(false).await?,
            Some(week) => {
                let mut ids = self.unsealed_after(week).await?;
                ids.extend(self.unsealed_of(true).await?);
                ids
            }
        };
        ids.sort_unstable();
        ids.dedup();
        Ok(ids.into_iter().map(TicketId::from_uuid).collect())
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
        let (Some(first), Some(last)) = (ids.as_slice().first().copied(), ids.as_slice().last().copied()) else { return Ok(ids) };
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
