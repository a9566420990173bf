//! What standing tickets add up to: for the settlement, and for the audit.

use diesel::QueryableByName;
use diesel::sql_types::{Array, Bigint, Date as SqlDate, Nullable, SmallInt, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, DerivationId, Fixed, Id, Product, TermsId, VolumeUnit};

use crate::derivation::small_back;
use crate::{Books, ContractParty, StorageError};

/// What one day's standing tickets add up to under one rate, or what check scales added to them or took away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccruedDay {
    /// The day the tickets were scaled.
    pub scaled_on: Date,
    /// The contract.
    pub contract: ContractId,
    /// The terms that made it.
    pub terms: TermsId,
    /// The rate's position in the terms, from 1.
    pub rate_number: u16,
    /// With whom.
    pub party: ContractParty,
    /// In the counted unit.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The derivations it is the sum of, in order of their ids; for what a check scale added or took away, the adjustments
    /// under their own ids.
    pub derivations: Vec<DerivationId>,
}

/// What standing tickets hold under one contract, by kind of timber.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ContractVolume {
    /// The contract.
    pub contract: ContractId,
    /// What the pieces are.
    pub product: Product,
    /// Their species, as the scalers wrote it, in small letters.
    pub species: String,
    /// The unit; none for pieces without a volume.
    pub unit: Option<VolumeUnit>,
    /// How many pieces.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

#[derive(QueryableByName)]
struct AccruedRow {
    #[diesel(sql_type = SqlDate)]
    scaled_on: jiff_diesel::Date,
    #[diesel(sql_type = SqlUuid)]
    contract_id: uuid::Uuid,
    #[diesel(sql_type = SqlUuid)]
    terms_id: uuid::Uuid,
    #[diesel(sql_type = SmallInt)]
    rate_number: i16,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    crew_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    mill_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Bigint)]
    quantity: i64,
    #[diesel(sql_type = Bigint)]
    pieces: i64,
    #[diesel(sql_type = Array<SqlUuid>)]
    derivations: Vec<uuid::Uuid>,
}

const ACCRUED: &str = "
SELECT accrual.scaled_on, standing_derivation.contract_id, standing_derivation.terms_id, accrual.rate_number,
       contract.crew_id, contract.mill_id, sum(accrual.quantity)::bigint AS quantity,
       sum(cardinality(accrual.piece_numbers))::bigint AS pieces,
       array_agg(accrual.derivation_id ORDER BY accrual.derivation_id) AS derivations
FROM accrual
JOIN standing_derivation USING (outfit_id, derivation_id)
JOIN contract USING (outfit_id, contract_id)
WHERE accrual.outfit_id = $1 AND accrual.scaled_on BETWEEN coalesce($2, '-infinity'::date) AND $3
  AND ($4 IS NULL OR contract.job_id = $4) AND ($5 IS NULL OR contract.mill_id = $5)
GROUP BY accrual.scaled_on, standing_derivation.contract_id, standing_derivation.terms_id, accrual.rate_number,
         contract.crew_id, contract.mill_id
UNION ALL
SELECT adjusted.scaled_on, adjusted.contract_id, adjusted.terms_id, adjusted.rate_number, contract.crew_id,
       contract.mill_id, sum(adjusted.quantity)::bigint, 0,
       array_agg(adjusted.volume_adjustment_id ORDER BY adjusted.volume_adjustment_id)
FROM standing_adjustment AS adjusted
JOIN contract USING (outfit_id, contract_id)
WHERE adjusted.outfit_id = $1 AND adjusted.scaled_on BETWEEN coalesce($2, '-infinity'::date) AND $3
  AND ($4 IS NULL OR contract.job_id = $4) AND ($5 IS NULL OR contract.mill_id = $5)
GROUP BY adjusted.scaled_on, adjusted.contract_id, adjusted.terms_id, adjusted.rate_number, contract.crew_id,
         contract.mill_id
ORDER BY scaled_on, contract_id, terms_id, rate_number";

#[derive(QueryableByName)]
struct VolumeRow {
    #[diesel(sql_type = SqlUuid)]
    contract_id: uuid::Uuid,
    #[diesel(sql_type = Text)]
    product: String,
    #[diesel(sql_type = Text)]
    species: String,
    #[diesel(sql_type = Nullable<Text>)]
    unit: Option<String>,
    #[diesel(sql_type = Bigint)]
    pieces: i64,
    #[diesel(sql_type = Bigint)]
    culls: i64,
    #[diesel(sql_type = Bigint)]
    gross: i64,
    #[diesel(sql_type = Bigint)]
    net: i64,
}

/// That a derivation counts, as the view of standing ones says it, and that a question is about it. Spelled out, because the
/// view has not the sums.
macro_rules! counts_and_is_asked_for {
    () => {
        "NOT EXISTS (SELECT FROM derivation AS later
                  WHERE later.outfit_id = derivation.outfit_id AND later.ticket_id = derivation.ticket_id
                    AND later.contract_id = derivation.contract_id AND later.revision > derivation.revision)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = derivation.outfit_id
                    AND correction.corrects = derivation.ticket_id)
  AND derivation.outfit_id = $1 AND ticket.scaled_on BETWEEN $2 AND $3
  AND ($4 IS NULL OR contract.job_id = $4) AND ($5 IS NULL OR contract.mill_id = $5)"
    };
}

/// Sums of what was added up when it was derived, and of the pieces themselves where it was not.
const VOLUMES: &str = concat!(
    "
SELECT contract_id, product, lower(species) AS species, unit, sum(pieces)::bigint AS pieces,
       sum(culls)::bigint AS culls, sum(gross)::bigint AS gross, sum(net)::bigint AS net
FROM (SELECT derivation.contract_id, kind ->> 0 AS product, kind ->> 1 AS species, kind ->> 2 AS unit,
             (kind ->> 3)::bigint AS pieces, (kind ->> 4)::bigint AS culls, (kind ->> 5)::bigint AS gross,
             (kind ->> 6)::bigint AS net
      FROM derivation
      JOIN ticket ON ticket.outfit_id = derivation.outfit_id AND ticket.ticket_id = derivation.ticket_id
      JOIN contract ON contract.outfit_id = derivation.outfit_id AND contract.contract_id = derivation.contract_id
      CROSS JOIN LATERAL jsonb_array_elements(derivation.timber) AS kind
      WHERE ",
    counts_and_is_asked_for!(),
    "
      UNION ALL
      SELECT derivation.contract_id, stick.facts ->> 'product', stick.facts ->> 'species',
             derivation.units[stick.position], 1, num_nonnulls(derivation.culls[stick.position]),
             coalesce(derivation.gross[stick.position], 0), coalesce(derivation.net[stick.position], 0)
      FROM derivation
      JOIN ticket ON ticket.outfit_id = derivation.outfit_id AND ticket.ticket_id = derivation.ticket_id
      JOIN contract ON contract.outfit_id = derivation.outfit_id AND contract.contract_id = derivation.contract_id
      CROSS JOIN LATERAL jsonb_array_elements(ticket.pieces) WITH ORDINALITY AS stick (facts, position)
      WHERE derivation.timber IS NULL AND ",
    counts_and_is_asked_for!(),
    "
        AND EXISTS (SELECT FROM accrual
                    WHERE accrual.outfit_id = derivation.outfit_id
                      AND accrual.derivation_id = derivation.derivation_id
                      AND stick.position = ANY (accrual.piece_numbers))) AS timber
GROUP BY 1, 2, 3, 4
ORDER BY 1, 2, 3, 4"
);

/// Which accruals a question is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AccrualScope {
    /// Tickets scaled on this day or later; any earlier day when none.
    pub from: Option<Date>,
    /// Tickets scaled on this day or earlier.
    pub to: Date,
    /// Only of this job.
    pub job: Option<kernel::JobId>,
    /// Only under contracts with this mill.
    pub mill: Option<kernel::MillId>,
}

impl Books {
    /// What standing tickets add up to, by day, contract and rate, and beside it what check scales added or took away.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn accrued(&mut self, scope: AccrualScope) -> Result<Vec<AccruedDay>, StorageError> {
        let rows: Vec<AccruedRow> = diesel::sql_query(ACCRUED)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Nullable<SqlDate>, _>(scope.from.map(jiff_diesel::Date::from))
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
            .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(scope.mill.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|row| {
                Ok(AccruedDay {
                    scaled_on: row.scaled_on.to_jiff(),
                    contract: ContractId::from_uuid(row.contract_id),
                    terms: TermsId::from_uuid(row.terms_id),
                    rate_number: small_back(row.rate_number)?,
                    party: ContractParty::read("contract", row.crew_id, row.mill_id)?,
                    quantity: Fixed::from_millionths(row.quantity),
                    pieces: row.pieces,
                    derivations: row.derivations.into_iter().map(DerivationId::from_uuid).collect(),
                })
            })
            .collect()
    }

    /// The volume that standing tickets hold under each contract, by product and species; only pieces for which the
    /// contract pays something.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn volumes(&mut self, scope: AccrualScope) -> Result<Vec<ContractVolume>, StorageError> {
        let unreadable = |error: serde_json::Error| StorageError::inconsistent("derivation", error);
        let rows: Vec<VolumeRow> = diesel::sql_query(VOLUMES)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.from.unwrap_or(Date::MIN)))
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
            .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(scope.mill.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|row| {
                Ok(ContractVolume {
                    contract: ContractId::from_uuid(row.contract_id),
                    product: serde_json::from_value(row.product.into()).map_err(unreadable)?,
                    species: row.species,
                    unit: row
                        .unit
                        .map(|unit| serde_json::from_value(unit.into()))
                        .transpose()
                        .map_err(unreadable)?,
                    pieces: row.pieces,
                    culls: row.culls,
                    gross: Fixed::from_millionths(row.gross),
                    net: Fixed::from_millionths(row.net),
                })
            })
            .collect()
    }
}
