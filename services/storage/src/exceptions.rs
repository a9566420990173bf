//! Exceptions of the books: what an auditor would stop at. A query finds all of one kind; what it means is said elsewhere.
//!
//! Each query answers rows of one shape: the day, the job, the tickets with their pieces, and the figures of its kind as one
//! JSON document, which is read into that kind's own type.

mod arriving;
mod moving;
mod numbering;
mod paying;
mod sticks;
mod unpaid;

use diesel::QueryableByName;
use diesel::sql_types::{Date as SqlDate, Jsonb, Nullable, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JobId, TicketId};
use serde::Deserialize;
use serde::de::DeserializeOwned;

pub use arriving::{AccruedQuantity, CorrectedAfterPosting, LateTicket};
pub use moving::{LogAlsoPaid, MoreSkidded, TurnsCounted};
pub use numbering::{NumbersMissing, WrittenTwice};
pub use paying::{PaidTwice, PaidTwiceBy};
pub use sticks::{HewnStick, ScaledStick};
pub use unpaid::{NeverPaid, NeverPaidBecause, SetAsideWork, UnpricedWork};

use crate::{Books, StorageError};

/// Which days, and which job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ExceptionScope {
    /// The first day.
    pub from: Date,
    /// The last.
    pub to: Date,
    /// Only of this job.
    pub job: Option<JobId>,
}

/// A ticket that an exception is about, and which of its pieces.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct TicketPieces {
    /// Its id.
    pub ticket_id: TicketId,
    /// Its book.
    pub book: String,
    /// Its number.
    pub number: i64,
    /// The day it was scaled.
    pub scaled_on: Date,
    /// The pieces, by number; empty where it is about the whole ticket.
    pub pieces: Vec<u16>,
}

/// Something found, with the figures of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found<F> {
    /// The day it is about.
    pub day: Date,
    /// The job; none where it is about a book of several.
    pub job: Option<JobId>,
    /// The tickets, oldest first.
    pub tickets: Vec<TicketPieces>,
    /// The figures.
    pub figures: F,
}

#[derive(QueryableByName)]
struct FoundRow {
    #[diesel(sql_type = SqlDate)]
    day: jiff_diesel::Date,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    job_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Jsonb)]
    tickets: serde_json::Value,
    #[diesel(sql_type = Jsonb)]
    figures: serde_json::Value,
}

/// The sticks of standing tickets, what was done to them, and what of it has a price.
///
/// `known_as` and `hewn_from` are stick numbers in lower case; `own_log` says that a timber goes on under the number of its
/// log. Premiums and dockages count nothing by themselves and are left out of `priced`.
///
/// The tickets may be narrowed down, and the derivations to theirs: what one ticket tells by itself needs no history.
macro_rules! base {
    ($tickets:literal, $derivations:literal) => {
        concat!(
            "
WITH standing AS (
    SELECT ticket.*
    FROM ticket
    WHERE ticket.outfit_id = $1 AND ($4 IS NULL OR ticket.job_id = $4) AND jsonb_array_length(ticket.pieces) > 0
      ",
            $tickets,
            "
      AND NOT EXISTS (SELECT FROM ticket AS correction
                      WHERE correction.outfit_id = ticket.outfit_id AND correction.corrects = ticket.ticket_id)
), stick AS (
    SELECT ticket_id, book, number, job_id, landing_id, scaled_on, scaler, delivered_to, one.place::int AS piece,
           one.facts, one.facts ->> 'product' AS product, lower(one.facts ->> 'species') AS species,
           lower(one.facts ->> 'stick_number') AS known_as, lower(one.facts ->> 'hewn_from') AS hewn_from,
           coalesce(lower(one.facts ->> 'stick_number') = lower(one.facts ->> 'hewn_from'), false) AS own_log
    FROM standing CROSS JOIN LATERAL jsonb_array_elements(pieces) WITH ORDINALITY AS one (facts, place)
), done AS (
    SELECT ticket_id, entry ->> 'task' AS task, (entry ->> 'crew')::uuid AS crew_id, NULL::uuid AS mill_id,
           piece::int AS piece, entry ? 'parts' AS in_parts
    FROM standing
    CROSS JOIN LATERAL jsonb_array_elements(work) AS entry
    CROSS JOIN LATERAL jsonb_array_elements_text(entry -> 'pieces') AS piece
    UNION ALL
    SELECT ticket_id, 'delivery', NULL, delivered_to, piece, false FROM stick WHERE delivered_to IS NOT NULL
), derived AS (
    SELECT ticket_id, derivation_id, contract_id, terms_id FROM standing_derivation WHERE outfit_id = $1 ",
            $derivations,
            "
), priced AS (
    SELECT derived.ticket_id, derived.derivation_id, derived.contract_id, contract.crew_id, contract.mill_id,
           terms.rates -> (accrual.rate_number - 1) ->> 'task' AS task, piece::int AS piece
    FROM derived
    JOIN standing ON standing.ticket_id = derived.ticket_id
    JOIN contract ON contract.outfit_id = $1 AND contract.contract_id = derived.contract_id
    JOIN accrual ON accrual.outfit_id = $1 AND accrual.derivation_id = derived.derivation_id
    JOIN terms ON terms.outfit_id = $1 AND terms.terms_id = derived.terms_id
    CROSS JOIN LATERAL unnest(accrual.piece_numbers) AS piece
    WHERE coalesce(terms.rates -> (accrual.rate_number - 1) ->> 'kind', 'price') = 'price'
)"
        )
    };
}

/// Of all days: for what is cumulative, or goes by the number of a stick.
const BASE: &str = base!("", "");

/// Of the days of the scope alone: for what a ticket has by itself.
const BASE_OF_DAYS: &str = base!(
    "AND ticket.scaled_on BETWEEN $2 AND $3",
    "AND ticket_id = ANY (ARRAY(SELECT ticket_id FROM standing))"
);

/// Stick numbers of a job that were moved or delivered, while no number nor log of theirs was ever felled, on a job that
/// numbers what it fells and has a contract that pays for felling.
const UNFELLED: &str = "
, felled_number AS (
    SELECT job_id, known_as FROM stick JOIN done USING (ticket_id, piece) WHERE task = 'felling' AND known_as IS NOT NULL
    UNION
    SELECT job_id, hewn_from FROM stick JOIN done USING (ticket_id, piece) WHERE task = 'felling' AND hewn_from IS NOT NULL
), unfelled AS (
    SELECT DISTINCT moved.job_id, moved.known_as
    FROM stick AS moved
    JOIN done USING (ticket_id, piece)
    WHERE task IN ('skidding', 'loading', 'hauling', 'delivery') AND known_as IS NOT NULL
      AND EXISTS (SELECT FROM felled_number WHERE felled_number.job_id = moved.job_id)
      AND NOT EXISTS (SELECT FROM felled_number
                      WHERE felled_number.job_id = moved.job_id AND felled_number.known_as = moved.known_as)
      AND NOT EXISTS (SELECT FROM felled_number
                      WHERE felled_number.job_id = moved.job_id AND felled_number.known_as = moved.hewn_from)
      AND EXISTS (SELECT FROM contract JOIN terms USING (outfit_id, contract_id)
                  WHERE contract.outfit_id = $1 AND contract.job_id = moved.job_id
                    AND terms.rates @> '[{\"task\": \"felling\"}]')
)";

impl Books {
    /// The rows of a query that names the outfit `$1`, the first and last day `$2` and `$3`, and perhaps a job `$4`.
    async fn found<F: DeserializeOwned>(
        &mut self,
        scope: ExceptionScope,
        query: String,
    ) -> Result<Vec<Found<F>>, StorageError> {
        let unreadable = |error: serde_json::Error| StorageError::inconsistent("ticket", error);
        // How many sticks a document of pieces holds the planner cannot know. It takes them for few and compares every one
        // with every other, which lasts minutes where joining by hash lasts less than a second.
        diesel::sql_query("SET LOCAL enable_nestloop = off").execute(&mut self.connection).await?;
        let rows: Vec<FoundRow> = diesel::sql_query(query)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.from))
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
            .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|row| {
                Ok(Found {
                    day: row.day.to_jiff(),
                    job: row.job_id.map(JobId::from_uuid),
                    tickets: serde_json::from_value(row.tickets).map_err(unreadable)?,
                    figures: serde_json::from_value(row.figures).map_err(unreadable)?,
                })
            })
            .collect()
    }
}
