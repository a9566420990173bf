//! Tickets that came, or were corrected, after their week had been posted.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{SettlementId, TermsId};
use serde::Deserialize;

use super::{ExceptionScope, Found};
use crate::{Books, StorageError};

/// A ticket that was accepted after its week had been posted.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct LateTicket {
    /// Who posted it.
    pub made_by: String,
    /// When it was accepted.
    pub made_at: Timestamp,
    /// The settlement that had closed its day.
    pub settlement_id: SettlementId,
    /// The week that settlement is for, by its last day.
    pub week_ends_on: Date,
}

/// What a ticket counts for under one rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub struct AccruedQuantity {
    /// The terms.
    pub terms_id: TermsId,
    /// The rate's position in the terms, from 1.
    pub rate_number: u16,
    /// In millionths of the counted unit.
    pub quantity: i64,
    /// Whether a mill owes it; otherwise a crew earns it.
    pub owed_by_mill: bool,
}

/// A correction that was accepted after the week of the corrected ticket had been posted.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct CorrectedAfterPosting {
    /// Who corrected.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
    /// Why.
    pub reason: String,
    /// The settlement that had closed the day.
    pub settlement_id: Option<SettlementId>,
    /// What the corrected ticket counted for.
    pub before: Vec<AccruedQuantity>,
    /// What the correction counts for.
    pub after: Vec<AccruedQuantity>,
}

const LATE: &str = "
SELECT ticket.scaled_on AS day, ticket.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', ticket.ticket_id, 'book', ticket.book, 'number', ticket.number,
                                            'scaled_on', ticket.scaled_on, 'pieces', '[]'::jsonb)) AS tickets,
       jsonb_build_object('made_by', ticket.accepted_by, 'made_at', ticket.accepted_at,
                          'settlement_id', posting.settlement_id, 'week_ends_on', posting.week_ends_on) AS figures
FROM ticket
JOIN settlement_posting AS posting ON posting.outfit_id = ticket.outfit_id AND posting.settlement_id = ticket.late_for
WHERE ticket.outfit_id = $1 AND ticket.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR ticket.job_id = $4)
  AND ticket.corrects IS NULL";

/// That the week was posted is seen by the settlement that took the wrong ticket in, by the mark on the late correction, or
/// by the hour.
const CORRECTED: &str = "
WITH latest AS (
    SELECT derivation.*
    FROM derivation
    WHERE derivation.outfit_id = $1
      AND NOT EXISTS (SELECT FROM derivation AS later
                      WHERE later.outfit_id = derivation.outfit_id AND later.ticket_id = derivation.ticket_id
                        AND later.contract_id = derivation.contract_id AND later.revision > derivation.revision)
), counted AS (
    SELECT latest.ticket_id,
           jsonb_agg(jsonb_build_object('terms_id', latest.terms_id, 'rate_number', accrual.rate_number,
                                        'quantity', accrual.quantity, 'owed_by_mill', contract.mill_id IS NOT NULL)) AS rates
    FROM latest
    JOIN contract ON contract.outfit_id = $1 AND contract.contract_id = latest.contract_id
    JOIN accrual ON accrual.outfit_id = $1 AND accrual.derivation_id = latest.derivation_id
    GROUP BY latest.ticket_id
)
SELECT wrong.scaled_on AS day, wrong.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', wrong.ticket_id, 'book', wrong.book, 'number', wrong.number,
                                            'scaled_on', wrong.scaled_on, 'pieces', '[]'::jsonb),
                         jsonb_build_object('ticket_id', correction.ticket_id, 'book', correction.book,
                                            'number', correction.number, 'scaled_on', correction.scaled_on,
                                            'pieces', '[]'::jsonb)) AS tickets,
       jsonb_build_object('made_by', correction.accepted_by, 'made_at', correction.accepted_at,
                          'reason', correction.correction_reason,
                          'settlement_id', coalesce(taken_in.settlement_id, correction.late_for, passed.settlement_id),
                          'before', coalesce(counted_before.rates, '[]'), 'after', coalesce(counted_after.rates, '[]'))
           AS figures
FROM ticket AS correction
JOIN ticket AS wrong ON wrong.outfit_id = correction.outfit_id AND wrong.ticket_id = correction.corrects
LEFT JOIN LATERAL (SELECT line.settlement_id
                   FROM settlement_line AS line
                   WHERE line.outfit_id = $1
                     AND line.entered && ARRAY(SELECT derivation_id FROM derivation
                                               WHERE derivation.outfit_id = $1
                                                 AND derivation.ticket_id = wrong.ticket_id)
                   ORDER BY line.settlement_id LIMIT 1) AS taken_in ON true
LEFT JOIN LATERAL (SELECT posting.settlement_id
                   FROM settlement_posting AS posting
                   WHERE posting.outfit_id = $1 AND posting.week_ends_on >= wrong.scaled_on
                     AND posting.posted_at < correction.accepted_at
                   ORDER BY posting.week_ends_on LIMIT 1) AS passed ON true
LEFT JOIN counted AS counted_before ON counted_before.ticket_id = wrong.ticket_id
LEFT JOIN counted AS counted_after ON counted_after.ticket_id = correction.ticket_id
WHERE correction.outfit_id = $1 AND wrong.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR wrong.job_id = $4)
  AND coalesce(taken_in.settlement_id, correction.late_for, passed.settlement_id) IS NOT NULL";

impl Books {
    /// Tickets, not corrections, that were accepted after their week had been posted.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn late_tickets(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<LateTicket>>, StorageError> {
        self.found(scope, LATE.to_owned()).await
    }

    /// Corrections that were accepted after the week of the corrected ticket had been posted: first the wrong ticket, then
    /// the one that took its place.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn corrected_after_posting(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<CorrectedAfterPosting>>, StorageError> {
        self.found(scope, CORRECTED.to_owned()).await
    }
}
