//! What standing tickets hold at each stage of the work: pieces, and their volume on the scale of one stated contract.

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Bool, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, CrewId, Fixed, Id, JobId, MillId, Product, TermsId, VolumeUnit};
use settlement::Task;

use crate::{Books, StorageError};

/// Which wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageScope {
    /// Scaled on this day or later.
    pub from: Date,
    /// Scaled on this day or earlier.
    pub to: Date,
    /// Of this job.
    pub job: Option<JobId>,
    /// Only pieces that this crew worked; at the stages of its own tasks, those that it did itself.
    pub crew: Option<CrewId>,
    /// Only what was delivered to this mill, as this mill's contracts scale it; nothing of the crews' work.
    pub mill: Option<MillId>,
}

/// The contract on whose scale a piece's volume is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct StageScale {
    /// The contract.
    pub contract: ContractId,
    /// The terms that scaled it.
    pub terms: TermsId,
    /// Whether it is the contract of whoever did the work, or of the mill that got the wood. Otherwise another
    /// contract's scale stands in, since their own measures no volume.
    pub own: bool,
    /// The unit.
    pub unit: VolumeUnit,
}

/// What one scaler's tickets of one day hold at a stage: pieces of one kind, on one scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StageCell {
    /// The task that makes the stage; none for all that was scaled, whoever worked it.
    pub stage: Option<Task>,
    /// The day.
    pub scaled_on: Date,
    /// Who scaled it.
    pub scaler: String,
    /// What the pieces are.
    pub product: Product,
    /// Their species, in small letters.
    pub species: String,
    /// On whose scale; none where no contract measures a volume.
    pub scale: Option<StageScale>,
    /// How many pieces, each once.
    pub pieces: i64,
    /// How many of them are culls on that scale.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// Each piece stands once at each stage. Its scale is the first that there is of: the contract of whoever did the work
/// (at delivery and for all that was scaled, of the mill that got it); any mill's; the contract that was filed first.
const CELLS: &str = "
WITH counted AS MATERIALIZED (
    SELECT ticket.outfit_id, ticket.ticket_id, ticket.scaled_on, ticket.scaler, ticket.delivered_to, ticket.work, ticket.pieces
    FROM ticket
    WHERE ticket.outfit_id = $1 AND ticket.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR ticket.job_id = $4)
      AND ($6 IS NULL OR ticket.delivered_to = $6)
      AND NOT EXISTS (SELECT FROM ticket AS correction
                      WHERE correction.outfit_id = ticket.outfit_id AND correction.corrects = ticket.ticket_id)
), stick AS MATERIALIZED (
    SELECT counted.ticket_id, facts.position AS piece, facts.value ->> 'product' AS product,
           lower(facts.value ->> 'species') AS species
    FROM counted CROSS JOIN LATERAL jsonb_array_elements(counted.pieces) WITH ORDINALITY AS facts (value, position)
), worked AS MATERIALIZED (
    SELECT counted.ticket_id, entry.value ->> 'task' AS task, (entry.value ->> 'crew')::uuid AS crew_id,
           piece.number::bigint AS piece
    FROM counted
    CROSS JOIN LATERAL jsonb_array_elements(counted.work) AS entry (value)
    CROSS JOIN LATERAL jsonb_array_elements_text(entry.value -> 'pieces') AS piece (number)
    WHERE $6 IS NULL AND ($5 IS NULL OR (entry.value ->> 'crew')::uuid = $5)
), standing AS MATERIALIZED (
    SELECT stick.ticket_id, stick.piece
    FROM stick
    WHERE $5 IS NULL OR EXISTS (SELECT FROM worked
                                WHERE worked.ticket_id = stick.ticket_id AND worked.piece = stick.piece)
), staged AS (
    SELECT task AS stage, ticket_id, piece, array_agg(crew_id) AS crews, NULL::uuid AS to_mill
    FROM worked
    WHERE task IN ('felling', 'hewing', 'skidding', 'hauling')
    GROUP BY 1, 2, 3
    UNION ALL
    SELECT 'delivery', ticket_id, piece, NULL, counted.delivered_to
    FROM standing JOIN counted USING (ticket_id)
    WHERE counted.delivered_to IS NOT NULL
    UNION ALL
    SELECT NULL, ticket_id, piece, NULL, counted.delivered_to
    FROM standing JOIN counted USING (ticket_id)
), scaled AS MATERIALIZED (
    SELECT derived.ticket_id, derived.contract_id, derived.terms_id, contract.crew_id, contract.mill_id,
           volume.piece, volume.unit, volume.gross, volume.net, volume.cull
    FROM counted
    JOIN standing_derivation AS derived USING (outfit_id, ticket_id)
    JOIN contract ON contract.outfit_id = derived.outfit_id AND contract.contract_id = derived.contract_id
                 AND ($6 IS NULL OR contract.mill_id = $6)
    CROSS JOIN LATERAL volumes_of(derived.units, derived.gross, derived.net, derived.culls)
        AS volume (piece, unit, gross, net, cull)
    WHERE volume.unit IS NOT NULL
), chosen AS (
    SELECT DISTINCT ON (staged.stage, staged.ticket_id, staged.piece)
           staged.stage, staged.ticket_id, staged.piece, scaled.contract_id, scaled.terms_id, scaled.unit,
           scaled.gross, scaled.net, scaled.cull,
           coalesce(scaled.crew_id = ANY (staged.crews) OR scaled.mill_id = staged.to_mill, false) AS own
    FROM staged LEFT JOIN scaled USING (ticket_id, piece)
    ORDER BY staged.stage, staged.ticket_id, staged.piece,
             coalesce(scaled.crew_id = ANY (staged.crews) OR scaled.mill_id = staged.to_mill, false) DESC,
             scaled.mill_id IS NULL, scaled.contract_id
)
SELECT chosen.stage, counted.scaled_on, counted.scaler, stick.product, stick.species, chosen.contract_id,
       chosen.terms_id, chosen.own, chosen.unit, count(*) AS pieces, count(chosen.cull) AS culls,
       coalesce(sum(chosen.gross), 0)::bigint AS gross, coalesce(sum(chosen.net), 0)::bigint AS net
FROM chosen
JOIN counted USING (ticket_id)
JOIN stick USING (ticket_id, piece)
GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 9
ORDER BY 1, 2, 3, 4, 5, 6, 7, 8, 9";

#[derive(QueryableByName)]
struct CellRow {
    #[diesel(sql_type = Nullable<Text>)]
    stage: Option<String>,
    #[diesel(sql_type = SqlDate)]
    scaled_on: jiff_diesel::Date,
    #[diesel(sql_type = Text)]
    scaler: String,
    #[diesel(sql_type = Text)]
    product: String,
    #[diesel(sql_type = Text)]
    species: String,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    contract_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    terms_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Bool)]
    own: bool,
    #[diesel(sql_type = Nullable<Text>)]
    unit: Option<String>,
    #[diesel(sql_type = BigInt)]
    pieces: i64,
    #[diesel(sql_type = BigInt)]
    culls: i64,
    #[diesel(sql_type = BigInt)]
    gross: i64,
    #[diesel(sql_type = BigInt)]
    net: i64,
}

impl CellRow {
    fn read(self) -> Result<StageCell, StorageError> {
        let unreadable = |error: serde_json::Error| StorageError::inconsistent("derivation", error);
        let scale = match (self.contract_id, self.terms_id, self.unit) {
            (Some(contract), Some(terms), Some(unit)) => Some(StageScale {
                contract: ContractId::from_uuid(contract),
                terms: TermsId::from_uuid(terms),
                own: self.own,
                unit: serde_json::from_value(unit.into()).map_err(unreadable)?,
            }),
            _ => None,
        };
        Ok(StageCell {
            stage: self
                .stage
                .map(|task| serde_json::from_value(task.into()))
                .transpose()
                .map_err(unreadable)?,
            scaled_on: self.scaled_on.to_jiff(),
            scaler: self.scaler,
            product: serde_json::from_value(self.product.into()).map_err(unreadable)?,
            species: self.species,
            scale,
            pieces: self.pieces,
            culls: self.culls,
            gross: Fixed::from_millionths(self.gross),
            net: Fixed::from_millionths(self.net),
        })
    }
}

impl Books {
    /// What standing tickets hold at each stage, by day, scaler, kind of timber and scale.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn stages(&mut self, scope: StageScope) -> Result<Vec<StageCell>, StorageError> {
        let rows: Vec<CellRow> = diesel::sql_query(CELLS)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.from))
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
            .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(scope.crew.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(scope.mill.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(CellRow::read).collect()
    }
}
