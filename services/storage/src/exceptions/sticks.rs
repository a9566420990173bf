//! The sticks themselves, for whoever holds their figures against each other.

use kernel::{TermsId, VolumeUnit};
use scaling::Piece;
use serde::Deserialize;

use super::{BASE, BASE_OF_DAYS, ExceptionScope, Found};
use crate::{Books, StorageError};

/// A stick with its volume: by the mill's contract, or the first contract that gives it one.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct ScaledStick {
    /// Who scaled it.
    pub scaler: String,
    /// What was measured.
    pub facts: Piece,
    /// The terms that made the volume.
    pub terms_id: TermsId,
    /// The unit.
    pub unit: VolumeUnit,
    /// Gross, in millionths of the unit.
    pub gross: i64,
    /// Net.
    pub net: i64,
    /// Whether it is a cull.
    pub cull: bool,
}

/// A hewn piece, and the log it was hewn from where that was scaled.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct HewnStick {
    /// What was measured of it.
    pub facts: Piece,
    /// What was measured of its log.
    pub log: Option<Piece>,
}

const SCALED: &str = "
, volume AS (
    SELECT DISTINCT ON (derived.ticket_id, one.piece) derived.ticket_id, one.piece, derived.terms_id, one.unit, one.gross,
           one.net, one.cull IS NOT NULL AS cull
    FROM standing_derivation AS derived
    JOIN contract ON contract.outfit_id = $1 AND contract.contract_id = derived.contract_id
    CROSS JOIN LATERAL volumes_of(derived.units, derived.gross, derived.net, derived.culls)
        AS one (piece, unit, gross, net, cull)
    WHERE derived.outfit_id = $1 AND derived.ticket_id = ANY (ARRAY(SELECT ticket_id FROM standing))
      AND one.gross IS NOT NULL
    ORDER BY derived.ticket_id, one.piece, contract.mill_id IS NULL, contract.contract_id
)
SELECT stick.scaled_on AS day, stick.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', stick.ticket_id, 'book', stick.book, 'number', stick.number,
                                            'scaled_on', stick.scaled_on, 'pieces', jsonb_build_array(stick.piece)))
           AS tickets,
       jsonb_build_object('scaler', stick.scaler, 'facts', stick.facts, 'terms_id', volume.terms_id, 'unit', volume.unit,
                          'gross', volume.gross, 'net', volume.net, 'cull', volume.cull) AS figures
FROM stick
JOIN volume USING (ticket_id, piece)
WHERE stick.product = 'log'
ORDER BY stick.scaled_on, stick.ticket_id, stick.piece";

const HEWN: &str = "
SELECT hewn.scaled_on AS day, hewn.job_id,
       jsonb_build_array(jsonb_build_object('ticket_id', hewn.ticket_id, 'book', hewn.book, 'number', hewn.number,
                                            'scaled_on', hewn.scaled_on, 'pieces', jsonb_build_array(hewn.piece)))
           AS tickets,
       jsonb_build_object('facts', hewn.facts, 'log', round_log.facts) AS figures
FROM stick AS hewn
LEFT JOIN LATERAL (SELECT facts FROM stick AS one
                   WHERE one.job_id = hewn.job_id AND one.known_as = hewn.hewn_from AND one.product = 'log'
                   ORDER BY one.scaled_on, one.ticket_id, one.piece LIMIT 1) AS round_log ON true
WHERE hewn.scaled_on BETWEEN $2 AND $3 AND hewn.product IN ('hewn_timber', 'tie')
ORDER BY hewn.scaled_on, hewn.ticket_id, hewn.piece";

impl Books {
    /// The logs of these days that have a volume, each on the one ticket it is on.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn scaled_sticks(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<ScaledStick>>, StorageError> {
        self.found(scope, format!("{BASE_OF_DAYS}{SCALED}")).await
    }

    /// The hewn pieces of these days, each with its log where one with the number was scaled on the job.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn hewn_sticks(
        &mut self,
        scope: ExceptionScope,
    ) -> Result<Vec<Found<HewnStick>>, StorageError> {
        self.found(scope, format!("{BASE}{HEWN}")).await
    }
}
