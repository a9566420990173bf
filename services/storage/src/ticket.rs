//! Scale tickets: the measured facts as they were accepted.

use diesel::dsl::sql;
use diesel::sql_types::{Nullable, Uuid as SqlUuid};
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, Id, JobId, LandingId, MillId, ScalerCertificateId, SettlementId, TicketId};
use scaling::Piece;
use serde::{Deserialize, Serialize};
use settlement::Task;

use crate::schema::ticket;
use crate::{Books, Page, Stamp, StorageError, TicketFilter};

/// Which crew did a task, and to which pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Work {
    /// What was done.
    pub task: Task,
    /// By whom.
    pub crew: CrewId,
    /// To which pieces, by their number on the ticket from 1; always spelled out.
    pub pieces: Vec<u16>,
    /// The crew's parts of those pieces that other crews worked as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<Fixed>,
}

/// The load a ticket was scaled from, and how far it was moved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Turn {
    /// How it was moved: a team, a tractor, a sled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved_by: Option<String>,
    /// How far it was skidded, in feet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skid_distance_ft: Option<Fixed>,
    /// How far it was hauled, in miles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub haul_distance_mi: Option<Fixed>,
}

/// The ticket that another one takes the place of, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// The wrong ticket.
    pub of: TicketId,
    /// What was wrong with it.
    pub reason: String,
}

/// How a ticket came: by a device whose clock nobody vouches for, and in time or late.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Arrival {
    /// When it was scaled, by the device's clock.
    pub measured: Option<Timestamp>,
    /// When it was sent, by the same.
    pub sent: Option<Timestamp>,
    /// How many seconds that clock was ahead of the service's; below zero where it was behind. With `sent`.
    pub clock_ahead_seconds: Option<i64>,
    /// The settlement that had closed its week already; none where it came in time.
    pub late_for: Option<SettlementId>,
}

/// A ticket as it was accepted. Never changed.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleTicket {
    /// Its id.
    pub id: TicketId,
    /// The scale book it is from.
    pub book: String,
    /// Its number in the book.
    pub number: i64,
    /// The job.
    pub job: JobId,
    /// The landing it was scaled on.
    pub landing: LandingId,
    /// The day it was scaled; decides its week and the terms it falls under.
    pub scaled_on: Date,
    /// Who scaled it.
    pub scaler: String,
    /// Who did what to which pieces.
    pub work: Vec<Work>,
    /// The load, if it is the scale of one.
    pub turn: Option<Turn>,
    /// The mill it was delivered to, if it was.
    pub delivered_to: Option<MillId>,
    /// The sticks, in the order they were scaled.
    pub pieces: Vec<Piece>,
    /// Anything else the scaler wrote down.
    pub remarks: Option<String>,
    /// The ticket it corrects.
    pub corrects: Option<Correction>,
    /// How it came.
    pub arrival: Arrival,
    /// SHA-256 of the content.
    pub fingerprint: [u8; 32],
    /// By whom and when it was accepted.
    pub accepted: Stamp,
}

/// A ticket with what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ticket {
    /// The record.
    pub record: ScaleTicket,
    /// The ticket that took its place; none while it stands.
    pub corrected_by: Option<TicketId>,
    /// What its scaler had to show for the day; the latest filed where there is more than one.
    pub scaler_certificate: Option<ScalerCertificateId>,
}

impl Ticket {
    /// Whether it stands and holds nothing: a correction without pieces, by which a ticket is void.
    #[must_use]
    pub fn is_void(&self) -> bool {
        self.corrected_by.is_none() && self.record.pieces.is_empty()
    }
}

type Row = (
    (uuid::Uuid, String, i64, uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String),
    (serde_json::Value, Option<serde_json::Value>, Option<uuid::Uuid>, serde_json::Value, Option<String>),
    (Option<uuid::Uuid>, Option<String>, Vec<u8>, jiff_diesel::Timestamp, String),
    (Option<jiff_diesel::Timestamp>, Option<jiff_diesel::Timestamp>, Option<i64>, Option<uuid::Uuid>),
    Option<uuid::Uuid>,
);

/// What the scaler had to show for the day.
const CERTIFICATE: &str = "(SELECT held.scaler_certificate_id FROM scaler_certificate AS held \
    WHERE held.outfit_id = ticket.outfit_id AND held.scaler = ticket.scaler \
      AND ticket.scaled_on BETWEEN held.valid_from AND held.valid_to \
    ORDER BY held.scaler_certificate_id DESC LIMIT 1)";

macro_rules! columns {
    () => {
        (
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
            sql::<Nullable<SqlUuid>>(CERTIFICATE),
        )
    };
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("ticket", why)
}

/// The ticket, without the one that took its place.
fn read(row: Row) -> Result<Ticket, StorageError> {
    let (
        (id, book, number, job, landing, scaled_on, scaler),
        (work, turn, delivered_to, pieces, remarks),
        (corrects, reason, fingerprint, at, by),
        (measured, sent, clock_ahead_seconds, late_for),
        certificate,
    ) = row;
    let record = ScaleTicket {
        id: TicketId::from_uuid(id),
        book,
        number,
        job: JobId::from_uuid(job),
        landing: LandingId::from_uuid(landing),
        scaled_on: scaled_on.to_jiff(),
        scaler,
        work: serde_json::from_value(work).map_err(unreadable)?,
        turn: turn.map(serde_json::from_value).transpose().map_err(unreadable)?,
        delivered_to: delivered_to.map(MillId::from_uuid),
        pieces: serde_json::from_value(pieces).map_err(unreadable)?,
        remarks,
        corrects: corrects.zip(reason).map(|(of, reason)| Correction { of: TicketId::from_uuid(of), reason }),
        arrival: Arrival {
            measured: measured.map(jiff_diesel::Timestamp::to_jiff),
            sent: sent.map(jiff_diesel::Timestamp::to_jiff),
            clock_ahead_seconds,
            late_for: late_for.map(SettlementId::from_uuid),
        },
        fingerprint: fingerprint.try_into().map_err(|_| unreadable("the fingerprint is not 32 bytes"))?,
        accepted: Stamp { at: at.to_jiff(), by },
    };
    let scaler_certificate = certificate.map(ScalerCertificateId::from_uuid);
    Ok(Ticket { record, corrected_by: None, scaler_certificate })
}

impl Books {
    /// The ticket with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn ticket(&mut self, id: TicketId) -> Result<Option<Ticket>, StorageError> {
        let row = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::ticket_id.eq(id.uuid()))
            .select(columns!())
            .first::<Row>(&mut self.connection)
            .await
            .optional()?;
        let found = self.with_corrections(row.into_iter().collect()).await?;
        Ok(found.into_iter().next())
    }

    /// The ticket with this number in this book, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn ticket_in_book(&mut self, book: &str, number: i64) -> Result<Option<Ticket>, StorageError> {
        let row = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::book.eq(book))
            .filter(ticket::number.eq(number))
            .select(columns!())
            .first::<Row>(&mut self.connection)
            .await
            .optional()?;
        let found = self.with_corrections(row.into_iter().collect()).await?;
        Ok(found.into_iter().next())
    }

    /// The tickets with these ids, in the order of their ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn tickets_by_id(&mut self, ids: &[TicketId]) -> Result<Vec<Ticket>, StorageError> {
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let rows = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::ticket_id.eq_any(ids))
            .order(ticket::ticket_id)
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        self.with_corrections(rows).await
    }

    /// A page of tickets, oldest accepted first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn tickets(
        &mut self,
        filter: &TicketFilter,
        page: Page<TicketId>,
    ) -> Result<Vec<Ticket>, StorageError> {
        let rows = filter
            .narrowed(self.outfit_uuid())
            .filter(ticket::ticket_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(ticket::ticket_id)
            .limit(page.limit.into())
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        self.with_corrections(rows).await
    }

    /// Adds to each ticket which other one took its place.
    async fn with_corrections(&mut self, rows: Vec<Row>) -> Result<Vec<Ticket>, StorageError> {
        let mut found = rows.into_iter().map(read).collect::<Result<Vec<_>, _>>()?;
        let ids: Vec<_> = found.iter().map(|ticket| ticket.record.id.uuid()).collect();
        let corrections: Vec<(Option<uuid::Uuid>, uuid::Uuid)> = if ids.is_empty() {
            Vec::new()
        } else {
            ticket::table
                .filter(ticket::outfit_id.eq(self.outfit_uuid()))
                .filter(ticket::corrects.eq_any(ids))
                .select((ticket::corrects, ticket::ticket_id))
                .load(&mut self.connection)
                .await?
        };
        let by_corrected: std::collections::HashMap<_, _> = corrections.into_iter().collect();
        for one in &mut found {
            let by = by_corrected.get(&Some(one.record.id.uuid()));
            one.corrected_by = by.copied().map(TicketId::from_uuid);
        }
        Ok(found)
    }
}
