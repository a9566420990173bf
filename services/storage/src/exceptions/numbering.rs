//! Scale books: numbers that are missing, and loads that were written down twice.

use serde::Deserialize;
use settlement::Task;

use super::{BASE, ExceptionScope, Found};
use crate::{Books, StorageError};

/// Numbers that are missing from a book between two that are not.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct NumbersMissing {
    /// The book.
    pub book: String,
    /// The first that is missing.
    pub first: i64,
    /// The last.
    pub last: i64,
}

/// Two tickets that hold the same sticks.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct WrittenTwice {
    /// How many sticks.
    pub pieces: i64,
    /// What was done to them on both tickets.
    pub tasks: Vec<Task>,
}

/// The gaps of all books. A voided number has no day; a gap is of the days between its neighbours.
const MISSING: &str = "
WITH known AS (
    SELECT book, number AS first_number, number AS last_number, ticket_id, scaled_on, job_id
    FROM ticket WHERE outfit_id = $1
    UNION ALL
    SELECT book, first_number, last_number, NULL, NULL, NULL FROM voided_numbers WHERE outfit_id = $1
), stepped AS (
    SELECT book, last_number AS before, ticket_id AS ticket_before, scaled_on AS day_before, job_id AS job_before,
           lead(first_number) OVER following AS after, lead(ticket_id) OVER following AS ticket_after,
           lead(scaled_on) OVER following AS day_after, lead(job_id) OVER following AS job_after
    FROM known WINDOW following AS (PARTITION BY book ORDER BY first_number)
), missing AS (
    SELECT *, coalesce(greatest(day_before, day_after), $2) AS day
    FROM stepped
    WHERE after > before + 1
      AND coalesce(least(day_before, day_after), $2) <= $3 AND coalesce(greatest(day_before, day_after), $3) >= $2
      AND ($4 IS NULL OR $4 IN (job_before, job_after))
)
SELECT day, CASE WHEN job_before = job_after THEN job_before END AS job_id,
       coalesce((SELECT jsonb_agg(jsonb_build_object('ticket_id', beside.ticket_id, 'book', missing.book,
                                                     'number', beside.number, 'scaled_on', beside.scaled_on,
                                                     'pieces', '[]'::jsonb) ORDER BY beside.number)
                 FROM (VALUES (ticket_before, before, day_before), (ticket_after, after, day_after))
                      AS beside (ticket_id, number, scaled_on)
                 WHERE beside.ticket_id IS NOT NULL), '[]') AS tickets,
       jsonb_build_object('book', book, 'first', before + 1, 'last', after - 1) AS figures
FROM missing
ORDER BY book, before";

/// The same sticks on the same day of the same job for the same task. Three different sticks that agree in every reading
/// are no chance; sticks with numbers are found by those, and ties that are all of one size say nothing.
const TWICE: &str = "
, load AS (
    SELECT ticket_id, job_id, landing_id, scaled_on, book, number, pieces, md5(pieces::text) AS digest
    FROM standing
    WHERE scaled_on BETWEEN $2 AND $3 AND NOT jsonb_path_exists(pieces, '$[*].stick_number')
), worked AS (
    SELECT DISTINCT load.*, task, CASE WHEN task IN ('skidding', 'loading', 'hauling') THEN landing_id END AS leg
    FROM load JOIN done USING (ticket_id)
), placed AS (
    SELECT worked.*, row_number() OVER same AS place, first_value(ticket_id) OVER same AS first_ticket,
           first_value(book) OVER same AS first_book, first_value(number) OVER same AS first_number
    FROM worked
    WINDOW same AS (PARTITION BY job_id, scaled_on, digest, task, leg ORDER BY book, number)
)
SELECT scaled_on AS day, job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', first_ticket, 'book', first_book, 'number', first_number,
                                            'scaled_on', scaled_on, 'pieces', '[]'::jsonb),
                         jsonb_build_object('ticket_id', ticket_id, 'book', book, 'number', number,
                                            'scaled_on', scaled_on, 'pieces', '[]'::jsonb)) AS tickets,
       jsonb_build_object('pieces', jsonb_array_length(pieces), 'tasks', jsonb_agg(task ORDER BY task)) AS figures
FROM placed
WHERE place > 1 AND (SELECT count(DISTINCT one) FROM jsonb_array_elements(pieces) AS one) >= 3
GROUP BY scaled_on, job_id, first_ticket, first_book, first_number, ticket_id, book, number, pieces";

impl Books {
    /// The numbers missing from all the books, of the days between their neighbours.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn numbers_missing(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<NumbersMissing>>, StorageError> {
        self.found(scope, MISSING.to_owned()).await
    }

    /// Loads that stand on two tickets.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn written_twice(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<WrittenTwice>>, StorageError> {
        self.found(scope, format!("{BASE}{TWICE}")).await
    }
}
