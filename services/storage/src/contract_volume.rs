//! The volume that was accrued under each contract, by kind of timber.

use std::collections::HashMap;

use diesel::sql_types::{Array, Bigint, Nullable, Text, Uuid as SqlUuid};
use diesel::{QueryResult, QueryableByName};
use diesel_async::{AsyncPgConnection, RunQueryDsl};
use kernel::{ContractId, Fixed, Id, NumberError, Product, VolumeUnit};

use crate::prepared::Prepared;
use crate::timber::{self, WrittenKind};
use crate::{AccruedDay, Books, StorageError};

/// How many derivations are asked for at once: a week of any size takes no more memory than twice so many.
const AT_ONCE: usize = 5_000;

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
struct SumsRow {
    #[diesel(sql_type = SqlUuid)]
    derivation_id: uuid::Uuid,
    #[diesel(sql_type = SqlUuid)]
    contract_id: uuid::Uuid,
    #[diesel(sql_type = Nullable<Text>)]
    timber: Option<String>,
}

/// The first and the last id are told beside all of them, so that a week's derivations are found where they lie and not among
/// those of every year.
const SUMS: &str = "
SELECT derivation.derivation_id, derivation.contract_id, derivation.timber::text AS timber
FROM unnest($::uuid[]) AS asked (derivation_id)
JOIN derivation ON derivation.derivation_id = asked.derivation_id
WHERE derivation.outfit_id = $::uuid AND derivation.derivation_id BETWEEN $::uuid AND $::uuid";

#[derive(QueryableByName)]
struct PiecesRow {
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

/// The pieces of derivations that were made before their sums were written down.
const PIECES: &str = "
SELECT derivation.contract_id, stick.facts ->> 'product' AS product, stick.facts ->> 'species' AS species,
       CASE WHEN derivation.gross[stick.position] IS NOT NULL
            THEN coalesce(derivation.units[stick.position], derivation.units[1]) END AS unit, count(*) AS pieces,
       count(derivation.culls[stick.position]) AS culls,
       coalesce(sum(derivation.gross[stick.position]), 0)::bigint AS gross,
       coalesce(sum(coalesce(derivation.net[stick.position], derivation.gross[stick.position])), 0)::bigint AS net
FROM derivation
JOIN ticket ON ticket.outfit_id = derivation.outfit_id AND ticket.ticket_id = derivation.ticket_id
CROSS JOIN LATERAL jsonb_array_elements(ticket.pieces) WITH ORDINALITY AS stick (facts, position)
WHERE derivation.outfit_id = $1 AND derivation.derivation_id = ANY ($2)
  AND EXISTS (SELECT FROM accrual
              WHERE accrual.outfit_id = derivation.outfit_id AND accrual.derivation_id = derivation.derivation_id
                AND stick.position = ANY (accrual.piece_numbers))
GROUP BY 1, 2, 3, 4";

/// What one kind adds up to.
#[derive(Default)]
struct Sum {
    pieces: i64,
    culls: i64,
    gross: Fixed,
    net: Fixed,
}

impl Sum {
    fn add(&mut self, more: &Self) -> Result<(), NumberError> {
        self.pieces = self.pieces.saturating_add(more.pieces);
        self.culls = self.culls.saturating_add(more.culls);
        self.gross = self.gross.plus(more.gross)?;
        self.net = self.net.plus(more.net)?;
        Ok(())
    }
}

/// Sums by contract, product and unit, and within each by species as written: almost always it is there, and is found
/// without a copy of its name.
#[derive(Default)]
struct Sums(HashMap<(uuid::Uuid, Product, Option<VolumeUnit>), HashMap<String, Sum>>);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("derivation", why)
}

impl Sums {
    fn add(
        &mut self,
        kind: (uuid::Uuid, Product, Option<VolumeUnit>),
        species: &str,
        more: Sum,
    ) -> Result<(), NumberError> {
        let by_species = self.0.entry(kind).or_default();
        match by_species.get_mut(species) {
            Some(sum) => sum.add(&more),
            None => {
                by_species.insert(species.to_owned(), more);
                Ok(())
            }
        }
    }

    /// What is written down of derivations; answers with those that have nothing written down.
    fn add_written(&mut self, rows: &[SumsRow]) -> Result<Vec<uuid::Uuid>, StorageError> {
        let mut unsummed = Vec::new();
        for row in rows {
            let Some(document) = &row.timber else {
                unsummed.push(row.derivation_id);
                continue;
            };
            for WrittenKind(product, species, unit, pieces, culls, gross, net) in timber::written(document)? {
                let (gross, net) = (Fixed::from_millionths(gross), Fixed::from_millionths(net));
                let more = Sum { pieces: pieces.into(), culls: culls.into(), gross, net };
                self.add((row.contract_id, product, unit), &species, more).map_err(unreadable)?;
            }
        }
        Ok(unsummed)
    }

    /// The same by species in small letters, in the order in which they are shown.
    fn in_order(self) -> Result<Vec<ContractVolume>, NumberError> {
        let mut alike = Self::default();
        for (kind, by_species) in self.0 {
            for (species, sum) in by_species {
                alike.add(kind, &species.to_lowercase(), sum)?;
            }
        }
        let mut volumes = Vec::new();
        for ((contract, product, unit), by_species) in alike.0 {
            let contract = ContractId::from_uuid(contract);
            volumes.extend(by_species.into_iter().map(|(species, sum)| {
                let Sum { pieces, culls, gross, net } = sum;
                ContractVolume { contract, product, species, unit, pieces, culls, gross, net }
            }));
        }
        volumes.sort_by(|left, right| place(left).cmp(&place(right)));
        Ok(volumes)
    }
}

/// By contract, product, species and unit; what has no unit comes last.
fn place(volume: &ContractVolume) -> (ContractId, &str, &str, bool, Option<&str>) {
    let unit = volume.unit.map(VolumeUnit::name);
    (volume.contract, volume.product.name(), &volume.species, unit.is_none(), unit)
}

impl Books {
    /// The volume that was accrued under each contract, by product and species: of the derivations behind some days, as
    /// [`Books::accrued`] answers with them; only pieces for which the contract pays something.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn volumes(&mut self, days: &[&AccruedDay]) -> Result<Vec<ContractVolume>, StorageError> {
        // A derivation stands behind each rate that it has a quantity of; adjustments are none and lead to nothing.
        let mut ids: Vec<_> = days.iter().flat_map(|day| &day.derivations).map(|id| id.uuid()).collect();
        ids.sort_unstable();
        ids.dedup();
        let mut sums = Sums::default();
        let mut rows = Vec::new();
        for some in ids.chunks(AT_ONCE) {
            // While these are on their way, those before them are added up.
            let before = std::mem::take(&mut rows);
            let (coming, unsummed) =
                tokio::join!(biased; self.sums_of(some), async { sums.add_written(&before) });
            rows = coming?;
            self.add_pieces(&unsummed?, &mut sums).await?;
        }
        let unsummed = sums.add_written(&rows)?;
        self.add_pieces(&unsummed, &mut sums).await?;
        sums.in_order().map_err(unreadable)
    }

    async fn sums_of(&self, derivations: &[uuid::Uuid]) -> QueryResult<Vec<SumsRow>> {
        let mut connection: &AsyncPgConnection = &self.connection;
        Prepared::new(SUMS)
            .bind::<Array<SqlUuid>, _>(derivations)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Nullable<SqlUuid>, _>(derivations.first().copied())
            .bind::<Nullable<SqlUuid>, _>(derivations.last().copied())
            .load(&mut connection)
            .await
    }

    async fn add_pieces(&mut self, of: &[uuid::Uuid], sums: &mut Sums) -> Result<(), StorageError> {
        if of.is_empty() {
            return Ok(());
        }
        let rows: Vec<PiecesRow> = diesel::sql_query(PIECES)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Array<SqlUuid>, _>(of)
            .load(&mut self.connection)
            .await?;
        for row in rows {
            let product = serde_json::from_value(row.product.into()).map_err(unreadable)?;
            let unit =
                row.unit.map(|unit| serde_json::from_value(unit.into())).transpose().map_err(unreadable)?;
            let (gross, net) = (Fixed::from_millionths(row.gross), Fixed::from_millionths(row.net));
            let sum = Sum { pieces: row.pieces, culls: row.culls, gross, net };
            sums.add((row.contract_id, product, unit), &row.species, sum).map_err(unreadable)?;
        }
        Ok(())
    }
}
