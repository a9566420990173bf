//! Scale books: which numbers were used, which will never come, and which are missing.

use diesel::sql_types::{BigInt, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel::{ExpressionMethods, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, SettlementId, TicketId, VoidedNumbersId};

use crate::schema::{settlement_posting, ticket, voided_numbers};
use crate::{Books, Page, Stamp, StorageError};

/// Numbers of a book that will never come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VoidedNumbers {
    /// Their id.
    pub id: VoidedNumbersId,
    /// The book.
    pub book: String,
    /// The first of them.
    pub first: i64,
    /// The last of them.
    pub last: i64,
    /// Why.
    pub reason: String,
    /// Who says so, and when.
    pub made: Stamp,
}

/// How far a book has come.
#[derive(Clone, Debug, PartialEq, Eq, QueryableByName)]
pub struct ScaleBook {
    /// The book.
    #[diesel(sql_type = Text)]
    pub book: String,
    /// The lowest number that was used or voided.
    #[diesel(sql_type = BigInt)]
    pub first: i64,
    /// The highest.
    #[diesel(sql_type = BigInt)]
    pub last: i64,
    /// How many tickets it has.
    #[diesel(sql_type = BigInt)]
    pub tickets: i64,
    /// How many numbers of it are void.
    #[diesel(sql_type = BigInt)]
    pub voided: i64,
}

/// A number beside a gap: a ticket's, or the end of voided ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Neighbour {
    /// The number.
    pub number: i64,
    /// The ticket that has it and the day it was scaled; none for a voided number.
    pub ticket: Option<(TicketId, Date)>,
}

/// Numbers that are missing between two that are not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// What is known before it.
    pub before: Neighbour,
    /// What is known after it.
    pub after: Neighbour,
}

#[derive(QueryableByName)]
struct GapRow {
    #[diesel(sql_type = BigInt)]
    before: i64,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    ticket_before: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlDate>)]
    day_before: Option<jiff_diesel::Date>,
    #[diesel(sql_type = BigInt)]
    after: i64,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    ticket_after: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlDate>)]
    day_after: Option<jiff_diesel::Date>,
}

fn neighbour(number: i64, ticket: Option<uuid::Uuid>, day: Option<jiff_diesel::Date>) -> Neighbour {
    Neighbour { number, ticket: ticket.map(TicketId::from_uuid).zip(day.map(jiff_diesel::Date::to_jiff)) }
}

type VoidedRow = (uuid::Uuid, String, i64, i64, String, jiff_diesel::Timestamp, String);

fn read((id, book, first, last, reason, at, by): VoidedRow) -> VoidedNumbers {
    let made = Stamp { at: at.to_jiff(), by };
    VoidedNumbers { id: VoidedNumbersId::from_uuid(id), book, first, last, reason, made }
}

macro_rules! voided_columns {
    () => {
        (
            voided_numbers::voided_numbers_id,
            voided_numbers::book,
            voided_numbers::first_number,
            voided_numbers::last_number,
            voided_numbers::reason,
            voided_numbers::made_at,
            voided_numbers::made_by,
        )
    };
}

impl Books {
    /// The outfit's scale books by name, those after `after`, at most `limit`; or the one of this name.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn scale_books(
        &mut self,
        only: Option<&str>,
        after: Option<&str>,
        limit: u16,
    ) -> Result<Vec<ScaleBook>, StorageError> {
        let found = diesel::sql_query(
            "SELECT book, min(first_number) AS first, max(last_number) AS last,
                    sum(tickets)::bigint AS tickets, sum(voided)::bigint AS voided
             FROM (SELECT book, min(number) AS first_number, max(number) AS last_number,
                          count(*) AS tickets, 0 AS voided
                   FROM ticket WHERE outfit_id = $1 GROUP BY book
                   UNION ALL
                   SELECT book, first_number, last_number, 0, last_number - first_number + 1
                   FROM voided_numbers WHERE outfit_id = $1) AS part
             WHERE ($2 IS NULL OR book = $2) AND ($3 IS NULL OR book COLLATE \"C\" > $3 COLLATE \"C\")
             GROUP BY book ORDER BY book COLLATE \"C\" LIMIT $4",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<Nullable<Text>, _>(only)
        .bind::<Nullable<Text>, _>(after)
        .bind::<BigInt, _>(i64::from(limit))
        .load(&mut self.connection)
        .await?;
        Ok(found)
    }

    /// The numbers missing from a book, lowest first: the gaps whose number before is above `after`, at most `limit`.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn gaps(&mut self, book: &str, after: i64, limit: u16) -> Result<Vec<Gap>, StorageError> {
        let rows: Vec<GapRow> = diesel::sql_query(
            "WITH known AS (
                 SELECT number AS first_number, number AS last_number, ticket_id, scaled_on
                 FROM ticket WHERE outfit_id = $1 AND book = $2
                 UNION ALL
                 SELECT first_number, last_number, NULL, NULL
                 FROM voided_numbers WHERE outfit_id = $1 AND book = $2
             ), stepped AS (
                 SELECT last_number AS before, ticket_id AS ticket_before, scaled_on AS day_before,
                        lead(first_number) OVER following AS after,
                        lead(ticket_id) OVER following AS ticket_after,
                        lead(scaled_on) OVER following AS day_after
                 FROM known WINDOW following AS (ORDER BY first_number)
             )
             SELECT before, ticket_before, day_before, after, ticket_after, day_after
             FROM stepped WHERE after > before + 1 AND before > $3 ORDER BY before LIMIT $4",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<Text, _>(book)
        .bind::<BigInt, _>(after)
        .bind::<BigInt, _>(i64::from(limit))
        .load(&mut self.connection)
        .await?;
        let gap = |row: GapRow| Gap {
            before: neighbour(row.before, row.ticket_before, row.day_before),
            after: neighbour(row.after, row.ticket_after, row.day_after),
        };
        Ok(rows.into_iter().map(gap).collect())
    }

    /// Says of numbers that they will never come. The books must be closed to others, and nobody may have the numbers.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn add_voided_numbers(&mut self, new: &VoidedNumbers) -> Result<(), StorageError> {
        diesel::insert_into(voided_numbers::table)
            .values((
                voided_numbers::outfit_id.eq(self.outfit_uuid()),
                voided_numbers::voided_numbers_id.eq(new.id.uuid()),
                voided_numbers::book.eq(&new.book),
                voided_numbers::first_number.eq(new.first),
                voided_numbers::last_number.eq(new.last),
                voided_numbers::reason.eq(&new.reason),
                voided_numbers::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                voided_numbers::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The voided numbers of a book that are among these; the lowest of them if there are several ranges.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn voided_among(
        &mut self,
        book: &str,
        first: i64,
        last: i64,
    ) -> Result<Option<VoidedNumbers>, StorageError> {
        let rows = voided_numbers::table
            .filter(voided_numbers::outfit_id.eq(self.outfit_uuid()))
            .filter(voided_numbers::book.eq(book))
            .filter(voided_numbers::first_number.le(last))
            .filter(voided_numbers::last_number.ge(first))
            .order(voided_numbers::first_number)
            .limit(1)
            .select(voided_columns!())
            .load::<VoidedRow>(&mut self.connection)
            .await?;
        Ok(rows.into_iter().next().map(read))
    }

    /// The lowest number among these that a ticket of the book has.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn used_among(
        &mut self,
        book: &str,
        first: i64,
        last: i64,
    ) -> Result<Option<i64>, StorageError> {
        let lowest = ticket::table
            .filter(ticket::outfit_id.eq(self.outfit_uuid()))
            .filter(ticket::book.eq(book))
            .filter(ticket::number.between(first, last))
            .select(diesel::dsl::min(ticket::number))
            .get_result(&mut self.connection)
            .await?;
        Ok(lowest)
    }

    /// A page of a book's voided numbers, oldest said first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn voided_numbers(
        &mut self,
        book: &str,
        page: Page<VoidedNumbersId>,
    ) -> Result<Vec<VoidedNumbers>, StorageError> {
        let rows = voided_numbers::table
            .filter(voided_numbers::outfit_id.eq(self.outfit_uuid()))
            .filter(voided_numbers::book.eq(book))
            .filter(voided_numbers::voided_numbers_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(voided_numbers::voided_numbers_id)
            .limit(page.limit.into())
            .select(voided_columns!())
            .load::<VoidedRow>(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The first posted settlement that covers a day: a ticket of that day comes late for it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn settlement_of_day(&mut self, day: Date) -> Result<Option<SettlementId>, StorageError> {
        let rows: Vec<uuid::Uuid> = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_posting::week_ends_on.ge(jiff_diesel::Date::from(day)))
            .order(settlement_posting::week_ends_on)
            .limit(1)
            .select(settlement_posting::settlement_id)
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().next().map(SettlementId::from_uuid))
    }
}
