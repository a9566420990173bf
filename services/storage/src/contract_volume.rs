//! The volume that was accrued under each contract, by kind of timber.

use std::collections::HashMap;

use diesel::QueryableByName;
use diesel::sql_types::{Array, Bigint, Nullable, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use kernel::{ContractId, Fixed, Id, NumberError, Product, VolumeUnit};

use crate::timber::{self, TimberSum};
use crate::{AccruedDay, Books, StorageError};

/// How many derivations are asked for at once: a week of any size takes no more memory than so many.
const AT_ONCE: usize = 20_000;

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
FROM unnest($2::uuid[]) AS asked (derivation_id)
JOIN derivation ON derivation.derivation_id = asked.derivation_id
WHERE derivation.outfit_id = $1 AND derivation.derivation_id BETWEEN $3 AND $4";

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

/// Sums by contract, product, species as written, and unit.
#[derive(Default)]
struct Sums(HashMap<(uuid::Uuid, Product, String, Option<VolumeUnit>), Sum>);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("derivation", why)
}

impl Sums {
    fn add(&mut self, contract: uuid::Uuid, kind: TimberSum) -> Result<(), NumberError> {
        let TimberSum { product, species, unit, pieces, culls, gross, net } = kind;
        self.add_many(
            (contract, product, species, unit),
            &Sum { pieces: pieces.into(), culls: culls.into(), gross, net },
        )
    }

    fn add_many(
        &mut self,
        kind: (uuid::Uuid, Product, String, Option<VolumeUnit>),
        more: &Sum,
    ) -> Result<(), NumberError> {
        let sum = self.0.entry(kind).or_default();
        sum.pieces = sum.pieces.saturating_add(more.pieces);
        sum.culls = sum.culls.saturating_add(more.culls);
        sum.gross = sum.gross.plus(more.gross)?;
        sum.net = sum.net.plus(more.net)?;
        Ok(())
    }

    /// The same by species in small letters, in the order in which they are shown.
    fn in_order(self) -> Result<Vec<ContractVolume>, NumberError> {
        let mut alike = Self::default();
        for ((contract, product, species, unit), sum) in self.0 {
            alike.add_many((contract, product, species.to_lowercase(), unit), &sum)?;
        }
        let volume = |((contract, product, species, unit), sum): (_, Sum)| {
            let Sum { pieces, culls, gross, net } = sum;
            let contract = ContractId::from_uuid(contract);
            ContractVolume { contract, product, species, unit, pieces, culls, gross, net }
        };
        let mut volumes: Vec<_> = alike.0.into_iter().map(volume).collect();
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
        for some in ids.chunks(AT_ONCE) {
            let unsummed = self.add_sums(some, &mut sums).await?;
            if !unsummed.is_empty() {
                self.add_pieces(&unsummed, &mut sums).await?;
            }
        }
        sums.in_order().map_err(unreadable)
    }

    /// Adds what is written down; answers with the derivations that have nothing written down.
    async fn add_sums(
        &mut self,
        of: &[uuid::Uuid],
        sums: &mut Sums,
    ) -> Result<Vec<uuid::Uuid>, StorageError> {
        let rows: Vec<SumsRow> = diesel::sql_query(SUMS)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<Array<SqlUuid>, _>(of)
            .bind::<Nullable<SqlUuid>, _>(of.first().copied())
            .bind::<Nullable<SqlUuid>, _>(of.last().copied())
            .load(&mut self.connection)
            .await?;
        let mut unsummed = Vec::new();
        for row in rows {
            match row.timber {
                None => unsummed.push(row.derivation_id),
                Some(document) => {
                    for kind in timber::sums(&document)? {
                        sums.add(row.contract_id, kind).map_err(unreadable)?;
                    }
                }
            }
        }
        Ok(unsummed)
    }

    async fn add_pieces(&mut self, of: &[uuid::Uuid], sums: &mut Sums) -> Result<(), StorageError> {
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
            sums.add_many((row.contract_id, product, row.species, unit), &sum).map_err(unreadable)?;
        }
        Ok(())
    }
}
