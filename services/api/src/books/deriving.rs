//! What contracts make of a ticket: volumes, what they add up to, and what nothing pays for.

use jiff::Timestamp;
use kernel::{DerivationId, Exact, IdSource};
use scaling::{Piece, Practice};
use settlement::{Accrued, PieceFacts, Rates, TurnFacts, UnpricedReason};
use storage::{
    Accrual, Agreement, ContractParty, Derivation, PieceVolume, ScaleTicket, Terms, UnpricedPiece,
};

use super::adding_timber::timber_of;
use super::parties::{PartyWork, parties};
use super::scaling_ticket::{self, Outcome};
use crate::http::refusal::Refusal;

/// Everything that is derived from one ticket.
#[derive(Debug, Default)]
pub struct Derived {
    /// What each contract made of it.
    pub derivations: Vec<Derivation>,
    /// What nothing pays for.
    pub unpriced: Vec<UnpricedPiece>,
}

/// Derives a ticket under the contracts of everybody who is on it.
///
/// # Errors
///
/// [`wire::Code::TooLarge`] when quantities cannot be held.
pub fn derive(
    ticket: &ScaleTicket,
    agreed: impl Fn(ContractParty) -> Option<Agreement>,
    ids: &IdSource,
    now: Timestamp,
) -> Result<Derived, Refusal> {
    let mut derived = Derived::default();
    if ticket.pieces.is_empty() {
        return Ok(derived);
    }
    for party in parties(ticket)? {
        match agreed(party.party) {
            Some(Agreement { terms: Some(terms), .. }) => {
                derive_under(ticket, &party, &terms, ids, now, &mut derived)?;
            }
            Some(Agreement { contract: Some(_), .. }) => {
                unpriced_whole(ticket, &party, &UnpricedReason::NoTerms, ids, &mut derived);
            }
            _ => unpriced_whole(ticket, &party, &UnpricedReason::NoContract, ids, &mut derived),
        }
    }
    Ok(derived)
}

fn unpriced_whole(
    ticket: &ScaleTicket,
    party: &PartyWork,
    reason: &UnpricedReason,
    ids: &IdSource,
    derived: &mut Derived,
) {
    for work in &party.work {
        derived.unpriced.push(UnpricedPiece {
            id: kernel::Id::uuid(ids.make::<DerivationId>()),
            ticket: ticket.id,
            derivation: None,
            task: work.task,
            piece: None,
            party: party.party,
            reason: reason.clone(),
        });
    }
}

/// What a party's work on a ticket comes to under a practice and rates.
#[derive(Debug)]
pub struct Accounted {
    /// The volumes, in the order of the pieces.
    pub volumes: Vec<PieceVolume>,
    /// The quantities by rate, and what has no price.
    pub accrued: Accrued,
}

/// Scales and counts one party's work on a ticket.
///
/// # Errors
///
/// [`wire::Code::TooLarge`] when quantities cannot be held.
pub fn account(
    ticket: &ScaleTicket,
    party: &PartyWork,
    practice: &Practice,
    rates: &Rates,
) -> Result<Accounted, Refusal> {
    let scaled = scaling_ticket::without_working(ticket, party, practice);
    let (facts, volumes) = facts_of(ticket, scaled);
    let turn = turn_of(ticket);
    let accrued =
        settlement::accrue(rates, &party.work, &facts, turn.as_ref()).map_err(|error| match error {
            settlement::AccrualError::Number(error) => Refusal::from(error),
            other => Refusal::internal(other),
        })?;
    Ok(Accounted { volumes, accrued })
}

/// What pay needs to know of the pieces that were scaled, and what is stored of every piece.
#[must_use]
pub fn facts_of(ticket: &ScaleTicket, scaled: Vec<Option<Outcome>>) -> (Vec<PieceFacts>, Vec<PieceVolume>) {
    let mut facts = Vec::with_capacity(ticket.pieces.len());
    let mut volumes = Vec::with_capacity(ticket.pieces.len());
    for ((number, piece), outcome) in (1_u16..).zip(&ticket.pieces).zip(scaled) {
        match outcome {
            Some(outcome) => {
                let (piece_facts, volume) = derived_facts(number, piece, outcome);
                facts.push(piece_facts);
                volumes.push(volume);
            }
            None => volumes.push(PieceVolume { volume: None, cull: None }),
        }
    }
    (facts, volumes)
}

/// What pay needs to know of the turn.
#[must_use]
pub fn turn_of(ticket: &ScaleTicket) -> Option<TurnFacts> {
    ticket.turn.as_ref().map(|turn| TurnFacts {
        skid_distance_ft: turn.skid_distance_ft,
        haul_distance_mi: turn.haul_distance_mi,
    })
}

/// Derives one party's work on a ticket under the terms of its contract.
///
/// # Errors
///
/// [`wire::Code::TooLarge`] when quantities cannot be held.
pub fn derive_under(
    ticket: &ScaleTicket,
    party: &PartyWork,
    terms: &Terms,
    ids: &IdSource,
    now: Timestamp,
    derived: &mut Derived,
) -> Result<(), Refusal> {
    let Accounted { volumes, accrued } = account(ticket, party, &terms.practice, &terms.rates)?;
    let id: DerivationId = ids.make();
    let accruals = accrued
        .accruals
        .into_iter()
        .map(|accrual| {
            let rate_number = u16::try_from(accrual.rate).ok().and_then(|rate| rate.checked_add(1));
            let rate_number = rate_number.ok_or(kernel::NumberError::TooLarge)?;
            Ok(Accrual { rate_number, quantity: accrual.quantity, pieces: accrual.pieces })
        })
        .collect::<Result<Vec<_>, kernel::NumberError>>()?;
    derived.derivations.push(Derivation {
        id,
        ticket: ticket.id,
        contract: terms.contract,
        terms: terms.id,
        derived_at: now,
        timber: Some(timber_of(&ticket.pieces, &volumes, accruals.iter().flat_map(|accrual| &accrual.pieces))?),
        volumes,
        accruals,
    });
    derived.unpriced.extend(accrued.unpriced.into_iter().map(|unpriced| UnpricedPiece {
        id: kernel::Id::uuid(ids.make::<DerivationId>()),
        ticket: ticket.id,
        derivation: Some(id),
        task: unpriced.task,
        piece: unpriced.piece,
        party: party.party,
        reason: unpriced.reason,
    }));
    Ok(())
}

/// A scaled piece: what pay needs to know of it, and what is stored of it.
fn derived_facts(number: u16, piece: &Piece, outcome: Outcome) -> (PieceFacts, PieceVolume) {
    let mut facts = PieceFacts {
        number,
        product: piece.product(),
        species: piece.species().to_string(),
        grade: piece.grade().map(ToString::to_string),
        diameter_in: None,
        length_ft: None,
        diameter_cm: None,
        length_m: None,
        volume: None,
        cull: false,
        unscaled: None,
    };
    let mut stored = PieceVolume { volume: None, cull: None };
    match outcome {
        Err(problem) => facts.unscaled = Some(problem.to_string()),
        Ok(scaled) => {
            let fixed = |value: Option<Exact>| value.and_then(|value| value.fixed().ok());
            facts.grade = scaled.grade.clone();
            facts.diameter_in = fixed(scaled.scaling_diameter_in);
            facts.length_ft = fixed(scaled.scaling_length_ft);
            facts.diameter_cm = fixed(scaled.scaling_diameter_cm);
            facts.length_m = fixed(scaled.scaling_length_m);
            facts.cull = scaled.cull.is_some();
            stored.cull.clone_from(&scaled.cull);
            if let Some(volume) = scaled.volume {
                match (volume.gross.fixed(), volume.net.fixed()) {
                    (Ok(gross), Ok(net)) => {
                        facts.volume = Some(settlement::PieceVolume { unit: volume.unit, gross, net });
                        stored.volume = Some((volume.unit, gross, net));
                    }
                    _ => {
                        facts.unscaled =
                            Some("the practice names no rounding that ends within six decimals".to_owned());
                    }
                }
            }
        }
    }
    (facts, stored)
}
