//! What standing tickets add up to: for the settlement, and for the audit.

use diesel::QueryableByName;
use diesel::sql_types::{Array, Bigint, Date as SqlDate, Nullable, SmallInt, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, DerivationId, Fixed, Id, TermsId};

use crate::derivation::small_back;
use crate::prepared::Prepared;
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
SELECT summed.scaled_on, summed.contract_id, summed.terms_id, summed.rate_number, contract.crew_id, contract.mill_id,
       summed.quantity, summed.pieces, summed.derivations
FROM (SELECT outfit_id, scaled_on, contract_id, terms_id, rate_number, sum(quantity)::bigint AS quantity,
             sum(cardinality(piece_numbers))::bigint AS pieces, array_agg(derivation_id) AS derivations
      FROM standing_accrual
      WHERE outfit_id = $1 AND scaled_on BETWEEN coalesce($2, '-infinity'::date) AND $3
      GROUP BY outfit_id, scaled_on, contract_id, terms_id, rate_number) AS summed
JOIN contract USING (outfit_id, contract_id)
WHERE ($4 IS NULL OR contract.job_id = $4) AND ($5 IS NULL OR contract.mill_id = $5)
UNION ALL
SELECT adjusted.scaled_on, adjusted.contract_id, adjusted.terms_id, adjusted.rate_number, contract.crew_id,
       contract.mill_id, sum(adjusted.quantity)::bigint, 0,
       array_agg(adjusted.volume_adjustment_id)
FROM standing_adjustment AS adjusted
JOIN contract USING (outfit_id, contract_id)
WHERE adjusted.outfit_id = $1 AND adjusted.scaled_on BETWEEN coalesce($2, '-infinity'::date) AND $3
  AND ($4 IS NULL OR contract.job_id = $4) AND ($5 IS NULL OR contract.mill_id = $5)
GROUP BY adjusted.scaled_on, adjusted.contract_id, adjusted.terms_id, adjusted.rate_number, contract.crew_id,
         contract.mill_id
ORDER BY scaled_on, contract_id, terms_id, rate_number";

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
    /// Keeps the database from plans that only suit few rows, for the rest of the transaction, when it does not know how many
    /// there are: tables that have grown by more than a tenth since it last counted them, as after an import. Of days that
    /// came since then it expects next to nothing, and it took a minute then for what takes a fifth of a second.
    async fn mind_missing_statistics(&mut self) -> Result<(), StorageError> {
        Prepared::new(
            "SELECT set_config('enable_nestloop', 'off', true) FROM pg_class
             WHERE oid IN ('ticket'::regclass, 'derivation'::regclass, 'accrual'::regclass)
               AND 10 * pg_relation_size(oid) > current_setting('block_size')::bigint * (11 * relpages::bigint + 500)",
        )
        .execute(&mut self.connection)
        .await?;
        Ok(())
    }

    /// What standing tickets add up to, by day, contract and rate, and beside it what check scales added or took away.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn accrued(&mut self, scope: AccrualScope) -> Result<Vec<AccruedDay>, StorageError> {
        self.mind_missing_statistics().await?;
        let rows: Vec<AccruedRow> = diesel::sql_query(ACCRUED)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Nullable<SqlDate>, _>(scope.from.map(jiff_diesel::Date::from))
            .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
            .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>(scope.mill.map(Id::uuid))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|mut row| {
                // In order here and not there, where the rows of a week would be sorted for it.
                row.derivations.sort_unstable();
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
}
