//! Wood on its way: more moved than felled, logs that were hewn and yet paid as logs, turns that were counted.

use jiff::Timestamp;
use kernel::{CrewId, MillId, Product};
use serde::Deserialize;
use settlement::Task;

use super::{BASE, ExceptionScope, Found, UNFELLED};
use crate::{Books, StorageError};

/// Up to the last day more sticks were skidded than felled or hewn.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct MoreSkidded {
    /// Of which product.
    pub product: Product,
    /// Of which species, in lower case.
    pub species: String,
    /// How many were skidded.
    pub skidded: i64,
    /// How many were felled or hewn.
    pub felled: i64,
}

/// A hewn piece that is paid for, whose log is paid for as a log as well.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct LogAlsoPaid {
    /// The number of the log.
    pub log: String,
    /// For what it is paid as a log.
    pub tasks: Vec<Task>,
}

/// Turns that were counted on a day, and the tickets that tell of turns.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct TurnsCounted {
    /// The crew that moved them.
    pub crew_id: Option<CrewId>,
    /// The mill where they came in.
    pub mill_id: Option<MillId>,
    /// How many were counted.
    pub counted: i64,
    /// How many tickets there are.
    pub tickets: i64,
    /// Who counted.
    pub counted_by: String,
    /// Who filed the count.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// A stick with a number is one stick however often it is scaled; numbers that were never felled are told one by one, and
/// are left out. A product of a job for which nobody records felling nor hewing cannot be held against it.
const MORE_SKIDDED: &str = "
, worked AS (
    SELECT job_id, product, species, ticket_id, book, number, scaled_on, piece,
           coalesce(known_as || CASE WHEN own_log THEN ' hewn' ELSE '' END, ticket_id || ' ' || piece) AS name, task,
           NOT bool_or(task <> 'skidding') OVER (PARTITION BY ticket_id, piece) AS apart
    FROM stick
    JOIN done USING (ticket_id, piece)
    LEFT JOIN unfelled USING (job_id, known_as)
    WHERE scaled_on <= $3 AND task IN ('felling', 'hewing', 'skidding')
      AND NOT (task = 'skidding' AND unfelled.job_id IS NOT NULL)
), counted AS (
    SELECT job_id, product, species, count(DISTINCT name) FILTER (WHERE task = 'skidding') AS skidded,
           count(DISTINCT name) FILTER (WHERE task <> 'skidding') AS felled
    FROM worked GROUP BY 1, 2, 3
), moved AS (
    SELECT job_id, product, species, ticket_id, book, number, scaled_on, array_agg(DISTINCT piece) AS pieces,
           bool_or(apart) AS apart
    FROM worked WHERE task = 'skidding' AND scaled_on >= $2
    GROUP BY 1, 2, 3, 4, 5, 6, 7
)
SELECT max(scaled_on) AS day, job_id,
       coalesce(jsonb_agg(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number,
                                             'scaled_on', scaled_on, 'pieces', pieces) ORDER BY scaled_on, ticket_id)
                FILTER (WHERE apart),
                jsonb_agg(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number,
                                             'scaled_on', scaled_on, 'pieces', pieces) ORDER BY scaled_on, ticket_id))
           AS tickets,
       jsonb_build_object('product', product, 'species', species, 'skidded', skidded, 'felled', felled) AS figures
FROM counted JOIN moved USING (job_id, product, species)
WHERE skidded > felled
  AND EXISTS (SELECT FROM counted AS any_species
              WHERE any_species.job_id = counted.job_id AND any_species.product = counted.product
                AND any_species.felled > 0)
GROUP BY job_id, product, species, skidded, felled";

/// Timber is hewn where the tree fell, so its log goes nowhere as a log; and the tree is felled, bucked and peeled once.
const LOG_ALSO_PAID: &str = "
, twice AS (
    SELECT hewn.job_id, hewn.ticket_id AS hewn_ticket, hewn.piece AS hewn_piece, hewn.facts ->> 'hewn_from' AS log,
           round_log.ticket_id AS log_ticket, round_log.piece AS log_piece, priced.task
    FROM stick AS hewn
    JOIN stick AS round_log ON round_log.job_id = hewn.job_id AND round_log.known_as = hewn.hewn_from
                           AND round_log.product IN ('log', 'pole')
    JOIN priced ON priced.ticket_id = round_log.ticket_id AND priced.piece = round_log.piece
    WHERE hewn.product IN ('hewn_timber', 'tie')
      AND EXISTS (SELECT FROM priced AS paid
                  WHERE paid.ticket_id = hewn.ticket_id AND paid.piece = hewn.piece
                    AND (priced.task IN ('skidding', 'loading', 'hauling', 'delivery') OR paid.task = priced.task))
), named AS (
    SELECT job_id, hewn_ticket, hewn_piece, log, hewn_ticket AS ticket_id, hewn_piece AS piece, NULL AS task FROM twice
    UNION
    SELECT job_id, hewn_ticket, hewn_piece, log, log_ticket, log_piece, task FROM twice
), on_ticket AS (
    SELECT named.job_id, hewn_ticket, hewn_piece, log, ticket_id, standing.book, standing.number, standing.scaled_on,
           array_agg(DISTINCT piece) AS pieces
    FROM named JOIN standing USING (ticket_id)
    GROUP BY 1, 2, 3, 4, 5, 6, 7, 8
)
SELECT max(scaled_on) AS day, job_id,
       jsonb_agg(jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number, 'scaled_on', scaled_on,
                                    'pieces', pieces) ORDER BY scaled_on, ticket_id) AS tickets,
       jsonb_build_object('log', log,
                          'tasks', (SELECT jsonb_agg(DISTINCT task) FROM twice
                                    WHERE twice.hewn_ticket = on_ticket.hewn_ticket
                                      AND twice.hewn_piece = on_ticket.hewn_piece)) AS figures
FROM on_ticket
GROUP BY job_id, hewn_ticket, hewn_piece, log
HAVING bool_or(scaled_on BETWEEN $2 AND $3)";

const TURNS: &str = "
, moved AS (
    SELECT DISTINCT ticket_id, book, number, job_id, scaled_on, crew_id AS party
    FROM standing JOIN done USING (ticket_id)
    WHERE turn IS NOT NULL AND task IN ('skidding', 'loading', 'hauling')
    UNION ALL
    SELECT ticket_id, book, number, job_id, scaled_on, delivered_to
    FROM standing WHERE turn IS NOT NULL AND delivered_to IS NOT NULL
)
SELECT turn_count.counted_on AS day, turn_count.job_id,
       coalesce(jsonb_agg(jsonb_build_object('ticket_id', moved.ticket_id, 'book', moved.book, 'number', moved.number,
                                             'scaled_on', moved.scaled_on, 'pieces', '[]'::jsonb)
                          ORDER BY moved.book, moved.number) FILTER (WHERE moved.ticket_id IS NOT NULL), '[]') AS tickets,
       jsonb_build_object('crew_id', crew_id, 'mill_id', mill_id, 'counted', turns, 'tickets', count(moved.ticket_id),
                          'counted_by', counted_by, 'made_by', turn_count.made_by, 'made_at', turn_count.made_at)
           AS figures
FROM turn_count
LEFT JOIN moved ON moved.job_id = turn_count.job_id AND moved.scaled_on = turn_count.counted_on
               AND moved.party = coalesce(turn_count.crew_id, turn_count.mill_id)
WHERE turn_count.outfit_id = $1 AND turn_count.counted_on BETWEEN $2 AND $3 AND ($4 IS NULL OR turn_count.job_id = $4)
  AND NOT EXISTS (SELECT FROM turn_count AS later
                  WHERE later.outfit_id = $1 AND later.job_id = turn_count.job_id
                    AND later.counted_on = turn_count.counted_on
                    AND later.crew_id IS NOT DISTINCT FROM turn_count.crew_id
                    AND later.mill_id IS NOT DISTINCT FROM turn_count.mill_id
                    AND later.revision > turn_count.revision)
GROUP BY turn_count.outfit_id, turn_count.turn_count_id
HAVING count(moved.ticket_id) <> turns";

impl Books {
    /// Jobs, products and species of which more was skidded than felled or hewn, up to the last day of the scope.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn more_skidded(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<MoreSkidded>>, StorageError> {
        self.found(scope, format!("{BASE}{UNFELLED}{MORE_SKIDDED}")).await
    }

    /// Hewn pieces whose log is paid for as a log as well.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn logs_also_paid(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<LogAlsoPaid>>, StorageError> {
        self.found(scope, format!("{BASE}{LOG_ALSO_PAID}")).await
    }

    /// Days on which turns were counted, and were not as many as the tickets that tell of a turn.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn turns_apart(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<TurnsCounted>>, StorageError> {
        self.found(scope, format!("{BASE}{TURNS}")).await
    }
}
