//! Scale tickets: the measured facts as they were accepted.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, Id, JobId, LandingId, MillId, TicketId};
use scaling::Piece;
use serde::{Deserialize, Serialize};
use settlement::Task;

use crate::schema::ticket;
use crate::{Books, Page, Stamp, StorageError};

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
}

/// Which tickets a list is to hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TicketFilter {
    /// Of this job.
    pub job: Option<JobId>,
    /// From this scale book.
    pub book: Option<String>,
    /// Scaled on this day or later.
    pub from: Option<Date>,
    /// Scaled on this day or earlier.
    pub to: Option<Date>,
    /// Delivered to this mill.
    pub delivered_to: Option<MillId>,
    /// Only those that no other ticket corrects.
    pub standing_only: bool,
}

type Row = (
    (uuid::Uuid, String, i64, uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String),
    (serde_json::Value, Option<serde_json::Value>, Option<uuid::Uuid>, serde_json::Value, Option<String>),
    (Option<uuid::Uuid>, Option<String>, Vec<u8>, jiff_diesel::Timestamp, String),
);

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
        )
    };
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("ticket", why)
}

fn read(row: Row) -> Result<ScaleTicket, StorageError> {
    let (
        (id, book, number, job, landing, scaled_on, scaler),
        (work, turn, delivered_to, pieces, remarks),
        (corrects, reason, fingerprint, at, by),
    ) = row;
    Ok(ScaleTicket {
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
        fingerprint: fingerprint.try_into().map_err(|_| unreadable("the fingerprint is not 32 bytes"))?,
        accepted: Stamp { at: at.to_jiff(), by },
    })
}

impl Books {
    /// Adds a ticket unless the book and number are taken; answers whether it was added.
    ///
    /// When an equal ticket is being added by someone else at this moment, waits to see whether that one stays.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `CorrectedAlready`, or `NoSuch` for a landing that is not on the job, a mill or
    /// a corrected ticket that is not the outfit's.
    pub async fn add_ticket(&mut self, new: &ScaleTicket) -> Result<bool, StorageError> {
        let turn = new.turn.as_ref().map(serde_json::to_value).transpose().map_err(unreadable)?;
        let added = diesel::insert_into(ticket::table)
            .values((
                (
                    ticket::outfit_id.eq(self.outfit_uuid()),
                    ticket::ticket_id.eq(new.id.uuid()),
                    ticket::book.eq(&new.book),
                    ticket::number.eq(new.number),
                    ticket::job_id.eq(new.job.uuid()),
                    ticket::landing_id.eq(new.landing.uuid()),
                    ticket::scaled_on.eq(jiff_diesel::Date::from(new.scaled_on)),
                    ticket::scaler.eq(&new.scaler),
                ),
                (
                    ticket::work.eq(serde_json::to_value(&new.work).map_err(unreadable)?),
                    ticket::turn.eq(turn),
                    ticket::delivered_to.eq(new.delivered_to.map(Id::uuid)),
                    ticket::pieces.eq(serde_json::to_value(&new.pieces).map_err(unreadable)?),
                    ticket::remarks.eq(&new.remarks),
                ),
                (
                    ticket::corrects.eq(new.corrects.as_ref().map(|correction| correction.of.uuid())),
                    ticket::correction_reason
                        .eq(new.corrects.as_ref().map(|correction| correction.reason.as_str())),
                    ticket::fingerprint.eq(new.fingerprint.as_slice()),
                    ticket::accepted_at.eq(jiff_diesel::Timestamp::from(new.accepted.at)),
                    ticket::accepted_by.eq(&new.accepted.by),
                ),
            ))
            .on_conflict((ticket::outfit_id, ticket::book, ticket::number))
            .do_nothing()
            .execute(&mut self.connection)
            .await?;
        if added == 1 {
            self.added.ticket(new.pieces.len());
        }
        Ok(added == 1)
    }

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
        let correction = diesel::alias!(ticket as correction);
        let mut query = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::ticket_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(ticket::ticket_id)
            .limit(page.limit.into())
            .select(columns!())
            .into_boxed();
        if let Some(job) = filter.job {
            query = query.filter(ticket::job_id.eq(job.uuid()));
        }
        if let Some(book) = &filter.book {
            query = query.filter(ticket::book.eq(book.clone()));
        }
        if let Some(from) = filter.from {
            query = query.filter(ticket::scaled_on.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = filter.to {
            query = query.filter(ticket::scaled_on.le(jiff_diesel::Date::from(to)));
        }
        if let Some(mill) = filter.delivered_to {
            query = query.filter(ticket::delivered_to.eq(mill.uuid()));
        }
        if filter.standing_only {
            let corrected = correction
                .filter(correction.field(ticket::outfit_id).eq(self.outfit_uuid()))
                .filter(correction.field(ticket::corrects).eq(ticket::ticket_id.nullable()));
            query = query.filter(diesel::dsl::not(diesel::dsl::exists(corrected)));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        self.with_corrections(rows).await
    }

    /// Adds to each ticket which other one took its place.
    async fn with_corrections(&mut self, rows: Vec<Row>) -> Result<Vec<Ticket>, StorageError> {
        let records = rows.into_iter().map(read).collect::<Result<Vec<_>, _>>()?;
        let ids: Vec<_> = records.iter().map(|record| record.id.uuid()).collect();
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
        Ok(records
            .into_iter()
            .map(|record| Ticket {
                corrected_by: by_corrected.get(&Some(record.id.uuid())).copied().map(TicketId::from_uuid),
                record,
            })
            .collect())
    }
}

use diesel::NullableExpressionMethods as _;
