//! What standing tickets hold on both sides: what their mill owes for the wood, and what crews earn on the same wood.

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Bool, Date as SqlDate, Integer, Nullable, SmallInt, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::{Date, Weekday};
use kernel::{CrewId, Fixed, Id, JobId, MillId, TermsId, VolumeUnit};

use crate::derivation::small_back;
use crate::{Books, StorageError};

/// Which wood: a job's, on its way to one mill; or the job's wood that was delivered to nobody.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct WoodOf {
    /// The job it was cut on.
    pub job: JobId,
    /// The mill it was delivered to; none where the tickets name none.
    pub mill: Option<MillId>,
    /// The last day of the week it was scaled in; none where all weeks are taken together.
    pub week: Option<Date>,
}

/// Which tickets are asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WoodScope {
    /// Scaled on this day or later.
    pub from: Date,
    /// Scaled on this day or earlier.
    pub to: Date,
    /// Of this job.
    pub job: Option<JobId>,
    /// With work of this crew.
    pub crew: Option<CrewId>,
    /// Delivered to this mill.
    pub mill: Option<MillId>,
    /// The day that weeks end on, to have each week by itself.
    pub by_week: Option<Weekday>,
}

impl WoodScope {
    /// All wood of some days, of one job when one is named; the weeks taken together.
    #[must_use]
    pub const fn of_days(from: Date, to: Date, job: Option<JobId>) -> Self {
        Self { from, to, job, crew: None, mill: None, by_week: None }
    }
}

/// What the wood's tickets accrued under one rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WoodAccrued {
    /// Which wood.
    pub of: WoodOf,
    /// Whether the mill owes it; otherwise a crew earns it.
    pub owed_by_mill: bool,
    /// The terms that made it.
    pub terms: TermsId,
    /// The rate's position in the terms, from 1.
    pub rate_number: u16,
    /// In the counted unit.
    pub quantity: Fixed,
}

/// How many of the wood's tickets there are, and on how many of them one side has nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WoodTickets {
    /// Which wood.
    pub of: WoodOf,
    /// Standing tickets with pieces.
    pub tickets: i64,
    /// Those on which no crew accrued anything.
    pub without_crews: i64,
    /// Those for which no mill owes anything.
    pub without_mill: i64,
}

/// The wood's volume on the mill's scale; only pieces for which the mill's contract pays something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WoodVolume {
    /// Which wood.
    pub of: WoodOf,
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

/// Both sides of the wood of some days.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wood {
    /// What accrued, by wood, side and rate.
    pub accrued: Vec<WoodAccrued>,
    /// The tickets, by wood.
    pub tickets: Vec<WoodTickets>,
    /// The volumes, by wood and unit.
    pub volumes: Vec<WoodVolume>,
}

/// The tickets in question; what follows in each query adds the rest.
const WOOD: &str = "
WITH wood AS (
    SELECT ticket.outfit_id, ticket.ticket_id, ticket.job_id, ticket.delivered_to AS wood_mill_id,
           -- How many days of the week are still to come; ISO 8601 counts them from Monday, 1, to Sunday, 7.
           ticket.scaled_on + (7 + $5 - extract(isodow FROM ticket.scaled_on)::int) % 7 AS week
    FROM ticket
    WHERE ticket.outfit_id = $1 AND ticket.scaled_on BETWEEN $2 AND $3 AND ($4 IS NULL OR ticket.job_id = $4)
      AND ($6 IS NULL OR ticket.work @> jsonb_build_array(jsonb_build_object('crew', $6)))
      AND ($7 IS NULL OR ticket.delivered_to = $7)
      AND jsonb_array_length(ticket.pieces) > 0
      AND NOT EXISTS (SELECT FROM ticket AS correction
                      WHERE correction.outfit_id = ticket.outfit_id AND correction.corrects = ticket.ticket_id)
)";

const ACCRUED: &str = "
SELECT wood.job_id, wood.wood_mill_id, wood.week, contract.mill_id IS NOT NULL AS owed_by_mill, derived.terms_id,
       accrual.rate_number, sum(accrual.quantity)::bigint AS quantity
FROM wood
JOIN standing_derivation AS derived USING (outfit_id, ticket_id)
JOIN contract ON contract.outfit_id = derived.outfit_id AND contract.contract_id = derived.contract_id
JOIN accrual ON accrual.outfit_id = derived.outfit_id AND accrual.derivation_id = derived.derivation_id
GROUP BY 1, 2, 3, 4, 5, 6
ORDER BY 1, 2, 3, 4, 5, 6";

const TICKETS: &str = "
SELECT job_id, wood_mill_id, week, count(*) AS tickets, count(*) FILTER (WHERE NOT crews) AS without_crews,
       count(*) FILTER (WHERE NOT mills) AS without_mill
FROM (SELECT wood.job_id, wood.wood_mill_id, wood.week,
             coalesce(bool_or(contract.crew_id IS NOT NULL), false) AS crews,
             coalesce(bool_or(contract.mill_id IS NOT NULL), false) AS mills
      FROM wood
      LEFT JOIN (standing_derivation AS derived
                 JOIN accrual ON accrual.outfit_id = derived.outfit_id
                             AND accrual.derivation_id = derived.derivation_id
                 JOIN contract ON contract.outfit_id = derived.outfit_id
                              AND contract.contract_id = derived.contract_id)
             ON derived.outfit_id = wood.outfit_id AND derived.ticket_id = wood.ticket_id
      GROUP BY wood.job_id, wood.wood_mill_id, wood.week, wood.ticket_id) AS one
GROUP BY 1, 2, 3
ORDER BY 1, 2, 3";

const VOLUMES: &str = "
SELECT wood.job_id, wood.wood_mill_id, wood.week, stick.unit, count(*) AS pieces, count(stick.cull) AS culls,
       coalesce(sum(stick.gross), 0)::bigint AS gross, coalesce(sum(stick.net), 0)::bigint AS net
FROM wood
JOIN standing_derivation AS derived USING (outfit_id, ticket_id)
JOIN contract ON contract.outfit_id = derived.outfit_id AND contract.contract_id = derived.contract_id
             AND contract.mill_id IS NOT NULL
CROSS JOIN LATERAL volumes_of(derived.units, derived.gross, derived.net, derived.culls) AS stick
WHERE EXISTS (SELECT FROM accrual
              WHERE accrual.outfit_id = derived.outfit_id AND accrual.derivation_id = derived.derivation_id
                AND stick.piece_number = ANY (accrual.piece_numbers))
GROUP BY 1, 2, 3, 4
ORDER BY 1, 2, 3, 4";

#[derive(QueryableByName)]
struct WoodRow {
    #[diesel(sql_type = SqlUuid)]
    job_id: uuid::Uuid,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    wood_mill_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlDate>)]
    week: Option<jiff_diesel::Date>,
}

impl WoodRow {
    fn read(&self) -> WoodOf {
        WoodOf {
            job: JobId::from_uuid(self.job_id),
            mill: self.wood_mill_id.map(MillId::from_uuid),
            week: self.week.map(jiff_diesel::Date::to_jiff),
        }
    }
}

#[derive(QueryableByName)]
struct AccruedRow {
    #[diesel(embed)]
    of: WoodRow,
    #[diesel(sql_type = Bool)]
    owed_by_mill: bool,
    #[diesel(sql_type = SqlUuid)]
    terms_id: uuid::Uuid,
    #[diesel(sql_type = SmallInt)]
    rate_number: i16,
    #[diesel(sql_type = BigInt)]
    quantity: i64,
}

#[derive(QueryableByName)]
struct TicketsRow {
    #[diesel(embed)]
    of: WoodRow,
    #[diesel(sql_type = BigInt)]
    tickets: i64,
    #[diesel(sql_type = BigInt)]
    without_crews: i64,
    #[diesel(sql_type = BigInt)]
    without_mill: i64,
}

#[derive(QueryableByName)]
struct VolumeRow {
    #[diesel(embed)]
    of: WoodRow,
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

impl Books {
    /// Both sides of the wood on the tickets that are asked about.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn wood(&mut self, scope: WoodScope) -> Result<Wood, StorageError> {
        let outfit = self.outfit_uuid();
        let asked = |rest: &str| {
            diesel::sql_query(format!("{WOOD}{rest}"))
                .bind::<SqlUuid, _>(outfit)
                .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.from))
                .bind::<SqlDate, _>(jiff_diesel::Date::from(scope.to))
                .bind::<Nullable<SqlUuid>, _>(scope.job.map(Id::uuid))
                .bind::<Nullable<Integer>, _>(scope.by_week.map(|day| i32::from(day.to_monday_one_offset())))
                .bind::<Nullable<SqlUuid>, _>(scope.crew.map(Id::uuid))
                .bind::<Nullable<SqlUuid>, _>(scope.mill.map(Id::uuid))
        };
        let accrued: Vec<AccruedRow> = asked(ACCRUED).load(&mut self.connection).await?;
        let tickets: Vec<TicketsRow> = asked(TICKETS).load(&mut self.connection).await?;
        let volumes: Vec<VolumeRow> = asked(VOLUMES).load(&mut self.connection).await?;
        Ok(Wood {
            accrued: accrued.iter().map(read_accrued).collect::<Result<_, _>>()?,
            tickets: tickets
                .iter()
                .map(|row| WoodTickets {
                    of: row.of.read(),
                    tickets: row.tickets,
                    without_crews: row.without_crews,
                    without_mill: row.without_mill,
                })
                .collect(),
            volumes: volumes.into_iter().map(read_volume).collect::<Result<_, _>>()?,
        })
    }
}

fn read_accrued(row: &AccruedRow) -> Result<WoodAccrued, StorageError> {
    Ok(WoodAccrued {
        of: row.of.read(),
        owed_by_mill: row.owed_by_mill,
        terms: TermsId::from_uuid(row.terms_id),
        rate_number: small_back(row.rate_number)?,
        quantity: Fixed::from_millionths(row.quantity),
    })
}

fn read_volume(row: VolumeRow) -> Result<WoodVolume, StorageError> {
    let unreadable = |error: serde_json::Error| StorageError::inconsistent("derivation", error);
    let unit = row.unit.map(|unit| serde_json::from_value(unit.into())).transpose().map_err(unreadable)?;
    Ok(WoodVolume {
        of: row.of.read(),
        unit,
        pieces: row.pieces,
        culls: row.culls,
        gross: Fixed::from_millionths(row.gross),
        net: Fixed::from_millionths(row.net),
    })
}
