//! Unpriced pieces that hold up a week, and decisions to set some aside.

use diesel::dsl::sql;
use diesel::sql_types::{Bool, Uuid as SqlUuid};
use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, SetAsideId, TicketId, UnpricedId};
use settlement::{Task, UnpricedReason};

use crate::derivation::{small, small_back};
use crate::schema::{open_unpriced, set_aside};
use crate::{Books, ContractParty, Page, Stamp, StorageError};

/// A task on a standing ticket that nothing pays for and nobody has set aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenUnpriced {
    /// Its id.
    pub id: UnpricedId,
    /// The ticket.
    pub ticket: TicketId,
    /// Its book.
    pub book: String,
    /// Its number in the book.
    pub number: i64,
    /// The day it was scaled.
    pub scaled_on: Date,
    /// The task.
    pub task: Task,
    /// The piece, by number; none where it is the whole turn.
    pub piece: Option<u16>,
    /// For whom it is unpriced.
    pub party: ContractParty,
    /// Why.
    pub reason: UnpricedReason,
}

/// Which of it a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct UnpricedFilter {
    /// On this ticket.
    pub ticket: Option<TicketId>,
    /// On tickets scaled on this day or later.
    pub from: Option<Date>,
    /// On tickets scaled on this day or earlier.
    pub to: Option<Date>,
}

impl UnpricedFilter {
    /// On tickets scaled on this day or earlier.
    #[must_use]
    pub fn up_to(day: Date) -> Self {
        Self { to: Some(day), ..Self::default() }
    }
}

/// A person's decision that a task on a ticket is not paid by piece rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Its id.
    pub id: SetAsideId,
    /// The ticket.
    pub ticket: TicketId,
    /// The task.
    pub task: Task,
    /// The piece; none means every piece.
    pub piece: Option<u16>,
    /// Why.
    pub reason: String,
    /// Who decided, and when.
    pub made: Stamp,
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("unpriced", why)
}

fn task(name: String) -> Result<Task, StorageError> {
    serde_json::from_value(name.into()).map_err(unreadable)
}

impl Books {
    /// A page of what is unpriced on standing tickets, in the order of their days, books and numbers.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn open_unpriced(
        &mut self,
        filter: UnpricedFilter,
        page: Page<UnpricedId>,
    ) -> Result<Vec<OpenUnpriced>, StorageError> {
        type Row = (
            (uuid::Uuid, uuid::Uuid, String, i64, jiff_diesel::Date, String, Option<i16>),
            (Option<uuid::Uuid>, Option<uuid::Uuid>, serde_json::Value),
        );
        let mut query = open_unpriced::table
            .filter(open_unpriced::outfit_id.eq(self.outfit_uuid()))
            .order((
                open_unpriced::scaled_on,
                open_unpriced::book,
                open_unpriced::number,
                open_unpriced::unpriced_id,
            ))
            .limit(page.limit.into())
            .select((
                (
                    open_unpriced::unpriced_id,
                    open_unpriced::ticket_id,
                    open_unpriced::book,
                    open_unpriced::number,
                    open_unpriced::scaled_on,
                    open_unpriced::task,
                    open_unpriced::piece_number,
                ),
                (open_unpriced::crew_id, open_unpriced::mill_id, open_unpriced::reason),
            ))
            .into_boxed();
        if let Some(after) = page.after {
            // The place is looked up where it was written: it may have been covered or set aside since.
            let place = "(scaled_on, book, number, unpriced_id) > \
                (SELECT ticket.scaled_on, ticket.book, ticket.number, unpriced.unpriced_id \
                 FROM unpriced JOIN ticket USING (outfit_id, ticket_id) \
                 WHERE unpriced.outfit_id = open_unpriced.outfit_id AND unpriced.unpriced_id = ";
            query = query.filter(sql::<Bool>(place).bind::<SqlUuid, _>(after.uuid()).sql(")"));
        }
        if let Some(ticket) = filter.ticket {
            query = query.filter(open_unpriced::ticket_id.eq(ticket.uuid()));
        }
        if let Some(day) = filter.from {
            query = query.filter(open_unpriced::scaled_on.ge(jiff_diesel::Date::from(day)));
        }
        if let Some(day) = filter.to {
            query = query.filter(open_unpriced::scaled_on.le(jiff_diesel::Date::from(day)));
        }
        let rows: Vec<Row> = query.load(&mut self.connection).await?;
        rows.into_iter()
            .map(|((id, ticket, book, number, day, name, piece), (crew, mill, reason))| {
                Ok(OpenUnpriced {
                    id: UnpricedId::from_uuid(id),
                    ticket: TicketId::from_uuid(ticket),
                    book,
                    number,
                    scaled_on: day.to_jiff(),
                    task: task(name)?,
                    piece: piece.map(small_back).transpose()?,
                    party: ContractParty::read("unpriced", crew, mill)?,
                    reason: serde_json::from_value(reason).map_err(unreadable)?,
                })
            })
            .collect()
    }

    /// Records a decision to set a task aside.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the ticket is not the outfit's or the database fails.
    pub async fn add_set_aside(&mut self, new: &SetAside) -> Result<(), StorageError> {
        diesel::insert_into(set_aside::table)
            .values((
                set_aside::outfit_id.eq(self.outfit_uuid()),
                set_aside::set_aside_id.eq(new.id.uuid()),
                set_aside::ticket_id.eq(new.ticket.uuid()),
                set_aside::task.eq(new.task.name()),
                set_aside::piece_number.eq(new.piece.map(small).transpose()?),
                set_aside::reason.eq(&new.reason),
                set_aside::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                set_aside::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The decisions made about a ticket, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn set_asides(&mut self, ticket: TicketId) -> Result<Vec<SetAside>, StorageError> {
        let rows: Vec<(uuid::Uuid, String, Option<i16>, String, jiff_diesel::Timestamp, String)> =
            set_aside::table
                .filter(set_aside::outfit_id.eq(self.outfit_uuid()))
                .filter(set_aside::ticket_id.eq(ticket.uuid()))
                .order(set_aside::set_aside_id)
                .select((
                    set_aside::set_aside_id,
                    set_aside::task,
                    set_aside::piece_number,
                    set_aside::reason,
                    set_aside::made_at,
                    set_aside::made_by,
                ))
                .load(&mut self.connection)
                .await?;
        rows.into_iter()
            .map(|(id, name, piece, reason, at, by)| {
                Ok(SetAside {
                    id: SetAsideId::from_uuid(id),
                    ticket,
                    task: task(name)?,
                    piece: piece.map(small_back).transpose()?,
                    reason,
                    made: Stamp { at: at.to_jiff(), by },
                })
            })
            .collect()
    }
}
