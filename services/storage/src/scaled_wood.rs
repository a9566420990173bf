//! What standing tickets hold in logs, species by species, on one side's scale: for what is held against it from outside.

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Bool, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, Fixed, Id, JobId, MillId, MillTallyId, Product, TermsId, VolumeUnit};

use crate::{Books, StorageError};

/// Pieces of one kind that were scaled under the same terms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScaledWood {
    /// What the pieces are.
    pub product: Product,
    /// Their species, in small letters.
    pub species: String,
    /// The terms they were scaled under; none where no contract of the side scaled their ticket.
    pub terms: Option<TermsId>,
    /// The unit of their volume; none for pieces without one.
    pub unit: Option<VolumeUnit>,
    /// Whether somebody decided that they are not paid for as delivered.
    pub kept_from_delivery: bool,
    /// How many.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// How many tickets a mill tally speaks of, and what became of them since it was filed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TalliedTickets {
    /// Standing tickets with pieces.
    pub tickets: i64,
    /// Those of them that came after the tally was filed.
    pub entered_since: i64,
    /// Tickets that were corrected after the tally was filed.
    pub corrected_since: i64,
}

/// Which mill tallies the wood is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TallyScope {
    /// Whose days reach to this one or past it.
    pub from: Date,
    /// Whose days begin on this one or before it.
    pub to: Date,
    /// Of this mill.
    pub mill: Option<MillId>,
    /// Of this job alone.
    pub job: Option<JobId>,
}

/// Each standing tally in question beside the tickets it speaks of, standing or not.
const TALLIED: &str = "
WITH tallied AS (
    SELECT tally.mill_tally_id, tally.mill_id, ticket.outfit_id, ticket.ticket_id, ticket.pieces,
           ticket.accepted_at > tally.made_at AS since, correction.accepted_at > tally.made_at AS corrected_since,
           correction.ticket_id IS NULL AND jsonb_array_length(ticket.pieces) > 0 AS stands
    FROM mill_tally AS tally
    JOIN ticket ON ticket.outfit_id = tally.outfit_id AND ticket.delivered_to = tally.mill_id
               AND ticket.scaled_on BETWEEN tally.first_day AND tally.last_day
               AND (tally.job_id IS NULL OR ticket.job_id = tally.job_id)
    LEFT JOIN ticket AS correction
        ON correction.outfit_id = ticket.outfit_id AND correction.corrects = ticket.ticket_id
    WHERE tally.outfit_id = $1 AND tally.last_day >= $2 AND tally.first_day <= $3
      AND ($4 IS NULL OR tally.mill_id = $4) AND ($5 IS NULL OR tally.job_id = $5)
      AND NOT EXISTS (SELECT FROM mill_tally_withdrawal AS withdrawal
                      WHERE withdrawal.outfit_id = tally.outfit_id
                        AND withdrawal.mill_tally_id = tally.mill_tally_id)
)";

const TICKETS: &str = "
SELECT mill_tally_id, count(*) FILTER (WHERE stands) AS tickets,
       count(*) FILTER (WHERE stands AND since) AS entered_since,
       count(*) FILTER (WHERE corrected_since) AS corrected_since
FROM tallied
GROUP BY 1
ORDER BY 1";

/// What one row of the wood is counted by, from a ticket's pieces `stick` and its derivation `derived`.
const COUNTED: &str = "
       stick.facts ->> 'product' AS product, lower(stick.facts ->> 'species') AS species, derived.terms_id,
       CASE WHEN derived.gross[stick.position] IS NOT NULL
            THEN coalesce(derived.units[stick.position], derived.units[1]) END AS unit,
       EXISTS (SELECT FROM set_aside
               WHERE set_aside.outfit_id = wood.outfit_id AND set_aside.ticket_id = wood.ticket_id
                 AND set_aside.task = 'delivery'
                 AND (set_aside.piece_number IS NULL OR set_aside.piece_number = stick.position))
           AS kept_from_delivery,
       count(*) AS pieces, count(derived.culls[stick.position]) AS culls,
       coalesce(sum(derived.gross[stick.position]), 0)::bigint AS gross,
       coalesce(sum(coalesce(derived.net[stick.position], derived.gross[stick.position])), 0)::bigint AS net";

const OF_TALLIES: &str = "
FROM tallied AS wood
LEFT JOIN (standing_derivation AS derived
           JOIN contract ON contract.outfit_id = derived.outfit_id
                        AND contract.contract_id = derived.contract_id)
       ON derived.outfit_id = wood.outfit_id AND derived.ticket_id = wood.ticket_id
      AND contract.mill_id = wood.mill_id
CROSS JOIN LATERAL jsonb_array_elements(wood.pieces) WITH ORDINALITY AS stick (facts, position)
WHERE wood.stands
GROUP BY 1, 2, 3, 4, 5, 6
ORDER BY 1, 2, 3, 4, 5, 6";

const OF_CONTRACT: &str = "
FROM ticket AS wood
LEFT JOIN standing_derivation AS derived
       ON derived.outfit_id = wood.outfit_id AND derived.ticket_id = wood.ticket_id AND derived.contract_id = $2
CROSS JOIN LATERAL jsonb_array_elements(wood.pieces) WITH ORDINALITY AS stick (facts, position)
WHERE wood.outfit_id = $1 AND wood.job_id = $3 AND wood.scaled_on >= $4 AND ($5 IS NULL OR wood.scaled_on <= $5)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = wood.outfit_id AND correction.corrects = wood.ticket_id)
GROUP BY 1, 2, 3, 4, 5
ORDER BY 1, 2, 3, 4, 5";

#[derive(QueryableByName)]
struct WoodRow {
    #[diesel(sql_type = Text)]
    product: String,
    #[diesel(sql_type = Text)]
    species: String,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    terms_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<Text>)]
    unit: Option<String>,
    #[diesel(sql_type = Bool)]
    kept_from_delivery: bool,
    #[diesel(sql_type = BigInt)]
    pieces: i64,
    #[diesel(sql_type = BigInt)]
    culls: i64,
    #[diesel(sql_type = BigInt)]
    gross: i64,
    #[diesel(sql_type = BigInt)]
    net: i64,
}

#[derive(QueryableByName)]
struct TalliedRow {
    #[diesel(sql_type = SqlUuid)]
    mill_tally_id: uuid::Uuid,
    #[diesel(embed)]
    wood: WoodRow,
}

#[derive(QueryableByName)]
struct TicketsRow {
    #[diesel(sql_type = SqlUuid)]
    mill_tally_id: uuid::Uuid,
    #[diesel(sql_type = BigInt)]
    tickets: i64,
    #[diesel(sql_type = BigInt)]
    entered_since: i64,
    #[diesel(sql_type = BigInt)]
    corrected_since: i64,
}

impl WoodRow {
    fn read(self) -> Result<ScaledWood, StorageError> {
        let unreadable = |error: serde_json::Error| StorageError::inconsistent("derivation", error);
        let unit =
            self.unit.map(|unit| serde_json::from_value(unit.into())).transpose().map_err(unreadable)?;
        Ok(ScaledWood {
            product: serde_json::from_value(self.product.into()).map_err(unreadable)?,
            species: self.species,
            terms: self.terms_id.map(TermsId::from_uuid),
            unit,
            kept_from_delivery: self.kept_from_delivery,
            pieces: self.pieces,
            culls: self.culls,
            gross: Fixed::from_millionths(self.gross),
            net: Fixed::from_millionths(self.net),
        })
    }
}

/// A question about the tallies of a scope; what follows in the query adds the rest.
macro_rules! tallied {
    ($books:ident, $scope:ident, $rest:expr) => {
        diesel::sql_query(format!("{TALLIED}{}", $rest))
            .bind::<SqlUuid, _>($books.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from($scope.from))
            .bind::<SqlDate, _>(jiff_diesel::Date::from($scope.to))
            .bind::<Nullable<SqlUuid>, _>($scope.mill.map(Id::uuid))
            .bind::<Nullable<SqlUuid>, _>($scope.job.map(Id::uuid))
    };
}

impl Books {
    /// How many tickets each standing mill tally of these days speaks of; tallies without tickets are left out.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn tallied_tickets(
        &mut self,
        scope: TallyScope,
    ) -> Result<Vec<(MillTallyId, TalliedTickets)>, StorageError> {
        let rows: Vec<TicketsRow> = tallied!(self, scope, TICKETS).load(&mut self.connection).await?;
        let read = |row: TicketsRow| {
            let TicketsRow { tickets, entered_since, corrected_since, .. } = row;
            (
                MillTallyId::from_uuid(row.mill_tally_id),
                TalliedTickets { tickets, entered_since, corrected_since },
            )
        };
        Ok(rows.into_iter().map(read).collect())
    }

    /// What stands on the tickets that each standing mill tally of these days speaks of, on the scale of the mill's own
    /// contracts.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn tallied_wood(
        &mut self,
        scope: TallyScope,
    ) -> Result<Vec<(MillTallyId, ScaledWood)>, StorageError> {
        let wood = format!("SELECT wood.mill_tally_id,{COUNTED}{OF_TALLIES}");
        let rows: Vec<TalliedRow> = tallied!(self, scope, wood).load(&mut self.connection).await?;
        rows.into_iter()
            .map(|row| Ok((MillTallyId::from_uuid(row.mill_tally_id), row.wood.read()?)))
            .collect()
    }

    /// What stands on a job's tickets scaled from a day on, on the scale of one of its contracts.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn wood_cut(
        &mut self,
        contract: ContractId,
        job: JobId,
        from: Date,
        to: Option<Date>,
    ) -> Result<Vec<ScaledWood>, StorageError> {
        let rows: Vec<WoodRow> = diesel::sql_query(format!("SELECT{COUNTED}{OF_CONTRACT}"))
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlUuid, _>(contract.uuid())
            .bind::<SqlUuid, _>(job.uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(from))
            .bind::<Nullable<SqlDate>, _>(to.map(jiff_diesel::Date::from))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(WoodRow::read).collect()
    }
}
