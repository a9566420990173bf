//! What a contract's terms made of a ticket, stored beside it.

use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, DerivationId, Fixed, Id, TermsId, TicketId, VolumeUnit};
use settlement::{Task, UnpricedReason};

use crate::schema::{accrual, derivation, standing_derivation, unpriced};
use crate::timber::{self, TimberSum};
use crate::volumes::{self, VolumeColumns};
use crate::{Books, ContractParty, StorageError};

/// The volume of one piece under a contract.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceVolume {
    /// Unit, gross and net; none for a piece that has no volume.
    pub volume: Option<(VolumeUnit, Fixed, Fixed)>,
    /// Why it is a cull, if it is one.
    pub cull: Option<String>,
}

/// What a ticket adds up to under one rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accrual {
    /// The rate's position in the terms, from 1.
    pub rate_number: u16,
    /// In the counted unit: board feet, pieces, feet, turns.
    pub quantity: Fixed,
    /// The pieces it is for, by number from 1.
    pub pieces: Vec<u16>,
}

/// What one contract's terms made of one ticket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Derivation {
    /// Its id.
    pub id: DerivationId,
    /// The ticket.
    pub ticket: TicketId,
    /// The contract.
    pub contract: ContractId,
    /// The terms that made it.
    pub terms: TermsId,
    /// When.
    pub derived_at: Timestamp,
    /// The volumes, in the order of the pieces.
    pub volumes: Vec<PieceVolume>,
    /// The quantities, by rate.
    pub accruals: Vec<Accrual>,
    /// What the pieces that it pays for add up to by kind; none where it was made before that was written down.
    pub timber: Option<Vec<TimberSum>>,
}

/// A task on a ticket that nothing pays for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnpricedPiece {
    /// Its id.
    pub id: uuid::Uuid,
    /// The ticket.
    pub ticket: TicketId,
    /// The derivation that found it; none where there was no contract or no terms to derive under.
    pub derivation: Option<DerivationId>,
    /// The task.
    pub task: Task,
    /// The piece, by number; none where it is the whole turn.
    pub piece: Option<u16>,
    /// For whom it is unpriced.
    pub party: ContractParty,
    /// Why.
    pub reason: UnpricedReason,
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("derivation", why)
}

pub(crate) fn small(number: u16) -> Result<i16, StorageError> {
    i16::try_from(number).map_err(unreadable)
}

pub(crate) fn small_back(number: i16) -> Result<u16, StorageError> {
    u16::try_from(number).map_err(unreadable)
}

impl Books {
    /// Adds what a contract's terms made of a ticket; an earlier derivation for the same contract stays readable and
    /// stops counting.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_derivation(&mut self, new: &Derivation, scaled_on: Date) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        let latest: Option<i32> = derivation::table
            .filter(derivation::outfit_id.eq(outfit))
            .filter(derivation::ticket_id.eq(new.ticket.uuid()))
            .filter(derivation::contract_id.eq(new.contract.uuid()))
            .select(diesel::dsl::max(derivation::revision))
            .first(&mut self.connection)
            .await?;
        let units = volumes::units(&new.volumes);
        let gross: Vec<_> = volumes::gross(&new.volumes).collect();
        let net: Vec<_> = volumes::net(&new.volumes).collect();
        let culls: Vec<_> = new.volumes.iter().map(|piece| piece.cull.as_deref()).collect();
        diesel::insert_into(derivation::table)
            .values((
                derivation::outfit_id.eq(outfit),
                derivation::derivation_id.eq(new.id.uuid()),
                derivation::ticket_id.eq(new.ticket.uuid()),
                derivation::contract_id.eq(new.contract.uuid()),
                derivation::terms_id.eq(new.terms.uuid()),
                derivation::revision.eq(latest.unwrap_or(0).saturating_add(1)),
                derivation::derived_at.eq(jiff_diesel::Timestamp::from(new.derived_at)),
                derivation::units.eq(units),
                derivation::gross.eq(gross),
                derivation::net.eq(net),
                derivation::culls.eq(culls),
                derivation::timber.eq(new.timber.as_deref().map(timber::document)),
            ))
            .execute(&mut self.connection)
            .await?;
        let mut rows = Vec::with_capacity(new.accruals.len());
        for one in &new.accruals {
            let pieces = one.pieces.iter().map(|piece| small(*piece)).collect::<Result<Vec<_>, _>>()?;
            rows.push((
                accrual::outfit_id.eq(outfit),
                accrual::derivation_id.eq(new.id.uuid()),
                accrual::rate_number.eq(small(one.rate_number)?),
                accrual::scaled_on.eq(jiff_diesel::Date::from(scaled_on)),
                accrual::quantity.eq(one.quantity.millionths()),
                accrual::piece_numbers.eq(pieces),
                accrual::under_contract.eq(new.contract.uuid()),
                accrual::under_terms.eq(new.terms.uuid()),
            ));
        }
        diesel::insert_into(accrual::table).values(rows).execute(&mut self.connection).await?;
        self.added.accruals(new.accruals.len());
        Ok(())
    }

    /// Adds the pieces of a ticket that nothing pays for.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_unpriced(&mut self, new: &[UnpricedPiece]) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        let mut rows = Vec::with_capacity(new.len());
        for one in new {
            rows.push((
                unpriced::outfit_id.eq(outfit),
                unpriced::unpriced_id.eq(one.id),
                unpriced::ticket_id.eq(one.ticket.uuid()),
                unpriced::derivation_id.eq(one.derivation.map(Id::uuid)),
                unpriced::task.eq(one.task.name()),
                unpriced::piece_number.eq(one.piece.map(small).transpose()?),
                unpriced::crew_id.eq(one.party.crew_uuid()),
                unpriced::mill_id.eq(one.party.mill_uuid()),
                unpriced::reason.eq(serde_json::to_value(&one.reason).map_err(unreadable)?),
            ));
        }
        diesel::insert_into(unpriced::table).values(rows).execute(&mut self.connection).await?;
        Ok(())
    }

    /// The derivations that count for a ticket: the latest for each contract.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn derivations_of(&mut self, ticket: TicketId) -> Result<Vec<Derivation>, StorageError> {
        let ids = self.standing_derivations_of(ticket).await?;
        self.derivations_by_id(&ids).await
    }

    /// Every derivation of a ticket, whether it still counts or not, by contract and in the order of their making.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn all_derivations_of(&mut self, ticket: TicketId) -> Result<Vec<Derivation>, StorageError> {
        let ids: Vec<uuid::Uuid> = derivation::table
            .filter(derivation::outfit_id.eq(self.outfit_uuid()))
            .filter(derivation::ticket_id.eq(ticket.uuid()))
            .select(derivation::derivation_id)
            .load(&mut self.connection)
            .await?;
        let ids: Vec<_> = ids.into_iter().map(DerivationId::from_uuid).collect();
        self.derivations_by_id(&ids).await
    }

    /// The ids of the derivations that count for a ticket.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn standing_derivations_of(
        &mut self,
        ticket: TicketId,
    ) -> Result<Vec<DerivationId>, StorageError> {
        let ids: Vec<uuid::Uuid> = standing_derivation::table
            .filter(standing_derivation::outfit_id.eq(self.outfit_uuid()))
            .filter(standing_derivation::ticket_id.eq(ticket.uuid()))
            .select(standing_derivation::derivation_id)
            .load(&mut self.connection)
            .await?;
        Ok(ids.into_iter().map(DerivationId::from_uuid).collect())
    }

    /// Everything that was found unpriced on a ticket, whether it still is or not, in the order of finding.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn unpriced_of(&mut self, of: TicketId) -> Result<Vec<UnpricedPiece>, StorageError> {
        type Row = (
            (uuid::Uuid, Option<uuid::Uuid>, String, Option<i16>),
            (Option<uuid::Uuid>, Option<uuid::Uuid>, serde_json::Value),
        );
        let rows: Vec<Row> = unpriced::table
            .filter(unpriced::outfit_id.eq(self.outfit_uuid()))
            .filter(unpriced::ticket_id.eq(of.uuid()))
            .order(unpriced::unpriced_id)
            .select((
                (unpriced::unpriced_id, unpriced::derivation_id, unpriced::task, unpriced::piece_number),
                (unpriced::crew_id, unpriced::mill_id, unpriced::reason),
            ))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|((id, derivation, task, piece), (crew, mill, reason))| {
                Ok(UnpricedPiece {
                    id,
                    ticket: of,
                    derivation: derivation.map(DerivationId::from_uuid),
                    task: serde_json::from_value(task.into()).map_err(unreadable)?,
                    piece: piece.map(small_back).transpose()?,
                    party: ContractParty::read("unpriced", crew, mill)?,
                    reason: serde_json::from_value(reason).map_err(unreadable)?,
                })
            })
            .collect()
    }

    /// The derivations with these ids, whether they still count or not, by ticket and contract.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn derivations_by_id(&mut self, ids: &[DerivationId]) -> Result<Vec<Derivation>, StorageError> {
        type Made = (jiff_diesel::Timestamp, Option<serde_json::Value>);
        type Row = (uuid::Uuid, uuid::Uuid, uuid::Uuid, uuid::Uuid, Made, VolumeColumns);
        let outfit = self.outfit_uuid();
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let rows: Vec<Row> = derivation::table
            .filter(derivation::outfit_id.eq(outfit))
            .filter(derivation::derivation_id.eq_any(&ids))
            .order((derivation::ticket_id, derivation::contract_id, derivation::revision))
            .select((
                derivation::derivation_id,
                derivation::ticket_id,
                derivation::contract_id,
                derivation::terms_id,
                (derivation::derived_at, derivation::timber),
                (derivation::units, derivation::gross, derivation::net, derivation::culls),
            ))
            .load(&mut self.connection)
            .await?;
        let accruals: Vec<(uuid::Uuid, i16, i64, Vec<i16>)> = accrual::table
            .filter(accrual::outfit_id.eq(outfit))
            .filter(accrual::derivation_id.eq_any(&ids))
            .order((accrual::derivation_id, accrual::rate_number))
            .select((accrual::derivation_id, accrual::rate_number, accrual::quantity, accrual::piece_numbers))
            .load(&mut self.connection)
            .await?;
        let mut by_derivation = std::collections::HashMap::<_, Vec<Accrual>>::new();
        for (derivation, rate, quantity, pieces) in accruals {
            by_derivation.entry(derivation).or_default().push(Accrual {
                rate_number: small_back(rate)?,
                quantity: Fixed::from_millionths(quantity),
                pieces: pieces.into_iter().map(small_back).collect::<Result<_, _>>()?,
            });
        }
        rows.into_iter()
            .map(|(id, ticket, contract, terms, (at, timber), scaled)| {
                Ok(Derivation {
                    id: DerivationId::from_uuid(id),
                    ticket: TicketId::from_uuid(ticket),
                    contract: ContractId::from_uuid(contract),
                    terms: TermsId::from_uuid(terms),
                    derived_at: at.to_jiff(),
                    volumes: volumes::read(scaled)?,
                    accruals: by_derivation.remove(&id).unwrap_or_default(),
                    timber: timber.map(|kinds| timber::sums(&kinds.to_string())).transpose()?,
                })
            })
            .collect()
    }
}
