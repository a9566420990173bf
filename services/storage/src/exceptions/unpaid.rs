//! Work that nobody is paid for: never, not yet, or by somebody's decision.

use jiff::Timestamp;
use kernel::{CrewId, MillId, SettlementId};
use serde::Deserialize;
use settlement::{Task, UnpricedReason};

use super::{BASE, BASE_OF_DAYS, ExceptionScope, Found, UNFELLED};
use crate::{Books, StorageError};

/// Why nothing was paid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NeverPaidBecause {
    /// No rate counted it, and it is not listed as unpriced either.
    NotCounted,
    /// It was counted, and settlements that cover its day were posted without it.
    NotPosted,
    /// It was moved or delivered under its number, and nobody felled a stick of that number.
    NeverFelled,
}

/// Work that was done and never paid.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct NeverPaid {
    /// Why.
    pub because: NeverPaidBecause,
    /// The task.
    pub task: Task,
    /// The crew that did it.
    pub crew_id: Option<CrewId>,
    /// The mill it was delivered to.
    pub mill_id: Option<MillId>,
    /// The stick's number, where it goes by one.
    pub stick: Option<String>,
    /// The first settlement that should have paid it.
    pub settlement_id: Option<SettlementId>,
}

/// Work without a price, which holds up its week.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct UnpricedWork {
    /// The task.
    pub task: Task,
    /// The crew that did it.
    pub crew_id: Option<CrewId>,
    /// The mill it was delivered to.
    pub mill_id: Option<MillId>,
    /// Why it has none.
    pub reason: UnpricedReason,
}

/// Work that somebody decided not to pay by the piece.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct SetAsideWork {
    /// The task.
    pub task: Task,
    /// Why.
    pub reason: String,
    /// Who decided.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

const NOT_COUNTED: &str = "
SELECT scaled_on AS day, job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number,
                                            'scaled_on', scaled_on, 'pieces', jsonb_agg(piece ORDER BY piece))) AS tickets,
       jsonb_build_object('because', 'not_counted', 'task', task, 'crew_id', crew_id, 'mill_id', mill_id,
                          'stick', NULL, 'settlement_id', NULL) AS figures
FROM (SELECT DISTINCT ticket_id, book, number, job_id, scaled_on, piece, task, crew_id, mill_id
      FROM done JOIN stick USING (ticket_id, piece)
      WHERE scaled_on BETWEEN $2 AND $3
        AND NOT EXISTS (SELECT FROM priced
                        WHERE priced.ticket_id = done.ticket_id AND priced.piece = done.piece AND priced.task = done.task
                          AND (priced.crew_id = done.crew_id OR priced.mill_id = done.mill_id))
        AND NOT EXISTS (SELECT FROM open_unpriced AS open
                        WHERE open.outfit_id = $1 AND open.ticket_id = done.ticket_id AND open.task = done.task
                          AND (open.crew_id = done.crew_id OR open.mill_id = done.mill_id)
                          AND (open.piece_number IS NULL OR open.piece_number = done.piece))
        AND NOT EXISTS (SELECT FROM set_aside
                        WHERE set_aside.outfit_id = $1 AND set_aside.ticket_id = done.ticket_id
                          AND set_aside.task = done.task
                          AND (set_aside.piece_number IS NULL OR set_aside.piece_number = done.piece))) AS lost
GROUP BY ticket_id, book, number, job_id, scaled_on, task, crew_id, mill_id";

/// A posting within a minute of the counting may have begun before it: those are not held against it.
const NOT_POSTED: &str = "
, taken AS (
    SELECT derivation_id, contract_id, terms_id, rate_number, sum(step) AS times
    FROM (SELECT unnest(entered) AS derivation_id, contract_id, terms_id, rate_number, 1 AS step
          FROM settlement_line WHERE outfit_id = $1
          UNION ALL
          SELECT unnest(withdrawn), contract_id, terms_id, rate_number, -1 FROM settlement_line WHERE outfit_id = $1) AS one
    GROUP BY 1, 2, 3, 4
)
SELECT standing.scaled_on AS day, standing.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', standing.ticket_id, 'book', standing.book,
                                            'number', standing.number, 'scaled_on', standing.scaled_on,
                                            'pieces', accrual.piece_numbers)) AS tickets,
       jsonb_build_object('because', 'not_posted', 'task', terms.rates -> (accrual.rate_number - 1) ->> 'task',
                          'crew_id', contract.crew_id, 'mill_id', contract.mill_id, 'stick', NULL,
                          'settlement_id', passed.settlement_id) AS figures
FROM standing_derivation AS derived
JOIN standing ON standing.ticket_id = derived.ticket_id
JOIN contract ON contract.outfit_id = $1 AND contract.contract_id = derived.contract_id
JOIN terms ON terms.outfit_id = $1 AND terms.terms_id = derived.terms_id
JOIN accrual ON accrual.outfit_id = $1 AND accrual.derivation_id = derived.derivation_id AND accrual.quantity > 0
CROSS JOIN LATERAL (SELECT posting.settlement_id
                    FROM settlement_posting AS posting
                    WHERE posting.outfit_id = $1 AND posting.week_ends_on >= standing.scaled_on
                      AND posting.posted_at > derived.derived_at + interval '1 minute'
                    ORDER BY posting.week_ends_on LIMIT 1) AS passed
LEFT JOIN taken ON taken.derivation_id = derived.derivation_id AND taken.contract_id = derived.contract_id
               AND taken.terms_id = derived.terms_id AND taken.rate_number = accrual.rate_number
WHERE derived.outfit_id = $1 AND derived.ticket_id = ANY (ARRAY(SELECT ticket_id FROM standing))
  AND standing.scaled_on BETWEEN $2 AND $3 AND coalesce(taken.times, 0) < 1";

const NEVER_FELLED: &str = "
SELECT max(scaled_on) AS day, job_id,
       jsonb_agg(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number, 'scaled_on', scaled_on,
                                    'pieces', jsonb_build_array(piece)) ORDER BY scaled_on, ticket_id) AS tickets,
       jsonb_build_object('because', 'never_felled', 'task', 'felling', 'crew_id', NULL, 'mill_id', NULL,
                          'stick', min(facts ->> 'stick_number'), 'settlement_id', NULL) AS figures
FROM stick
JOIN unfelled USING (job_id, known_as)
GROUP BY job_id, known_as
HAVING bool_or(scaled_on BETWEEN $2 AND $3)";

const UNPRICED: &str = "
SELECT ticket.scaled_on AS day, ticket.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', open.ticket_id, 'book', open.book, 'number', open.number,
                                            'scaled_on', open.scaled_on,
                                            'pieces', coalesce(jsonb_agg(open.piece_number ORDER BY open.piece_number)
                                                               FILTER (WHERE open.piece_number IS NOT NULL), '[]')))
           AS tickets,
       jsonb_build_object('task', open.task, 'crew_id', open.crew_id, 'mill_id', open.mill_id, 'reason', open.reason)
           AS figures
FROM open_unpriced AS open JOIN ticket USING (outfit_id, ticket_id)
WHERE open.outfit_id = $1 AND open.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR ticket.job_id = $4)
GROUP BY ticket.scaled_on, ticket.job_id, open.ticket_id, open.book, open.number, open.scaled_on, open.task,
         open.crew_id, open.mill_id, open.reason";

const SET_ASIDE: &str = "
SELECT ticket.scaled_on AS day, ticket.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', ticket.ticket_id, 'book', ticket.book, 'number', ticket.number,
                                            'scaled_on', ticket.scaled_on,
                                            'pieces', CASE WHEN set_aside.piece_number IS NULL THEN '[]'::jsonb
                                                           ELSE jsonb_build_array(set_aside.piece_number) END)) AS tickets,
       jsonb_build_object('task', set_aside.task, 'reason', set_aside.reason, 'made_by', set_aside.made_by,
                          'made_at', set_aside.made_at) AS figures
FROM set_aside JOIN ticket USING (outfit_id, ticket_id)
WHERE set_aside.outfit_id = $1 AND ticket.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR ticket.job_id = $4)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = ticket.outfit_id AND correction.corrects = ticket.ticket_id)";

impl Books {
    /// Work on standing tickets that was never paid and is nowhere listed as unpriced.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn never_paid(&mut self, scope: ExceptionScope) -> Result<Vec<Found<NeverPaid>>, StorageError> {
        let mut found = self.found(scope, format!("{BASE_OF_DAYS}{NOT_COUNTED}")).await?;
        found.extend(self.found(scope, format!("{BASE_OF_DAYS}{NOT_POSTED}")).await?);
        found.extend(self.found(scope, format!("{BASE}{UNFELLED}{NEVER_FELLED}")).await?);
        Ok(found)
    }

    /// Work without a price on standing tickets, by ticket, task and reason.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn unpriced_work(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<UnpricedWork>>, StorageError> {
        self.found(scope, UNPRICED.to_owned()).await
    }

    /// Work on standing tickets that somebody set aside.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn set_aside_work(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<SetAsideWork>>, StorageError> {
        self.found(scope, SET_ASIDE.to_owned()).await
    }
}
