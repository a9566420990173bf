//! Sticks that are paid for twice.

use serde::Deserialize;
use settlement::Task;

use super::{BASE, BASE_OF_DAYS, ExceptionScope, Found};
use crate::{Books, StorageError};

/// How it came that a stick is paid for twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PaidTwiceBy {
    /// Its number stands on several tickets.
    SeveralTickets,
    /// Several crews, or rates, have it on one ticket, and not in parts.
    SeveralCrews,
    /// Settlements took it in more often than they took it back.
    SeveralLines,
}

/// A stick that is paid for more than once.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct PaidTwice {
    /// How.
    pub by: PaidTwiceBy,
    /// For what.
    pub task: Task,
    /// Its number, where it goes by one.
    pub stick: Option<String>,
    /// How often.
    pub times: i64,
}

/// The same number on several tickets. A crew that moves a stick on from another landing moves it a second leg.
const ON_SEVERAL_TICKETS: &str = "
SELECT max(scaled_on) AS day, job_id,
       jsonb_agg(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number, 'scaled_on', scaled_on,
                                    'pieces', pieces) ORDER BY scaled_on, ticket_id) AS tickets,
       jsonb_build_object('by', 'several_tickets', 'task', task, 'stick', min(written), 'times', count(*)) AS figures
FROM (SELECT job_id, known_as, own_log, task, ticket_id, book, number, scaled_on,
             CASE WHEN task IN ('skidding', 'loading', 'hauling') THEN landing_id END AS leg,
             min(facts ->> 'stick_number') AS written, array_agg(DISTINCT piece) AS pieces
      FROM stick JOIN priced USING (ticket_id, piece)
      WHERE known_as IS NOT NULL
      GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 9) AS on_ticket
GROUP BY job_id, known_as, own_log, task, leg
HAVING count(*) > 1 AND bool_or(scaled_on BETWEEN $2 AND $3)";

const ON_ONE_TICKET: &str = "
, in_parts AS (
    SELECT DISTINCT ticket_id, piece, task, crew_id FROM done WHERE in_parts
)
SELECT scaled_on AS day, job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number,
                                            'scaled_on', scaled_on, 'pieces', jsonb_agg(piece ORDER BY piece))) AS tickets,
       jsonb_build_object('by', 'several_crews', 'task', task, 'stick', NULL, 'times', max(times)) AS figures
FROM (SELECT stick.ticket_id, stick.job_id, stick.book, stick.number, stick.scaled_on, stick.piece, priced.task,
             count(*) AS times
      FROM priced JOIN stick USING (ticket_id, piece)
      LEFT JOIN in_parts ON in_parts.ticket_id = priced.ticket_id AND in_parts.piece = priced.piece
                        AND in_parts.task = priced.task AND in_parts.crew_id = priced.crew_id
      WHERE stick.scaled_on BETWEEN $2 AND $3
      GROUP BY 1, 2, 3, 4, 5, 6, 7
      HAVING count(*) > 1
         AND (count(DISTINCT priced.contract_id) < count(*) OR bool_or(in_parts.ticket_id IS NULL))) AS twice
GROUP BY ticket_id, job_id, book, number, scaled_on, task";

/// What settlements took in of a derivation under a rate, less what they took back.
const IN_SEVERAL_LINES: &str = "
, taken AS (
    SELECT derivation_id, contract_id, terms_id, rate_number, sum(step)::bigint AS times
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
       jsonb_build_object('by', 'several_lines', 'task', terms.rates -> (taken.rate_number - 1) ->> 'task',
                          'stick', NULL, 'times', taken.times) AS figures
FROM taken
JOIN accrual ON accrual.outfit_id = $1 AND accrual.derivation_id = taken.derivation_id
            AND accrual.rate_number = taken.rate_number
JOIN derivation ON derivation.outfit_id = $1 AND derivation.derivation_id = taken.derivation_id
JOIN standing ON standing.ticket_id = derivation.ticket_id
JOIN terms ON terms.outfit_id = $1 AND terms.terms_id = taken.terms_id
WHERE taken.times > 1 AND standing.scaled_on BETWEEN $2 AND $3";

impl Books {
    /// What is paid for twice, on standing tickets.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn paid_twice(&mut self, scope: ExceptionScope) -> Result<Vec<Found<PaidTwice>>, StorageError> {
        let mut found = self.found(scope, format!("{BASE}{ON_SEVERAL_TICKETS}")).await?;
        found.extend(self.found(scope, format!("{BASE_OF_DAYS}{ON_ONE_TICKET}")).await?);
        found.extend(self.found(scope, format!("{BASE_OF_DAYS}{IN_SEVERAL_LINES}")).await?);
        Ok(found)
    }
}
