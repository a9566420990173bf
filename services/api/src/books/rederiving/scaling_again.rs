//! Scaling tickets again: pure work, away from the threads that serve.

use std::collections::BTreeSet;
use std::rc::Rc;

use jiff::civil::Date;
use kernel::{DerivationId, Fixed, NumberError};
use scaling::Practice;
use settlement::{Accrued, PieceFacts, accrue};
use storage::{Derivation, PieceVolume, ScaleTicket, ScaledTicket, StorageError, StoredWork};
use wire::{Difference, TicketReference};

use super::differences::{At, Differences};
use super::posted::Agreements;
use crate::books::adding_timber::timber_of;
use crate::books::deriving::{facts_of, turn_of};
use crate::books::parties::{PartyWork, parties};
use crate::books::reading_ticket::fingerprint_of;
use crate::books::scaling_ticket::without_working;

/// What came of a ticket.
#[derive(Debug)]
pub struct Again {
    /// The ticket by its name in the yard.
    pub ticket: TicketReference,
    /// The day it was scaled.
    pub scaled_on: Date,
    /// How many pieces it has.
    pub pieces: usize,
    /// What contracts make of it.
    pub made: Vec<Made>,
}

/// What a contract's terms make of a ticket, made again.
#[derive(Debug)]
pub struct Made {
    /// The derivation.
    pub derivation: DerivationId,
    /// What it comes to under each rate, by the rate's number: quantity and pieces.
    pub accruals: Vec<(u16, Fixed, usize)>,
    /// How many quantities are stored.
    pub stored: usize,
    /// Where what is stored is something else; with the first of a ticket, also what is wrong with the ticket itself.
    pub differences: Vec<Difference>,
}

/// Reads what the database sent, and does all of it again.
///
/// # Errors
///
/// [`StorageError::Inconsistent`] when a row cannot be read.
pub fn all(agreements: &Agreements, work: StoredWork) -> Result<Vec<Again>, StorageError> {
    Ok(work.read()?.into_iter().map(|one| again(agreements, &one)).collect())
}

/// The name of a ticket in the yard.
pub fn reference(record: &ScaleTicket) -> TicketReference {
    TicketReference { ticket_id: record.id, book: record.book.clone(), number: record.number }
}

fn again(agreements: &Agreements, one: &ScaledTicket) -> Again {
    let ticket = &one.ticket;
    let name = reference(ticket);
    let mut found = Differences::default();
    if fingerprint_of(ticket).ok() != Some(ticket.fingerprint) {
        let at = At::new(format!("/tickets/{}/fingerprint", name.ticket_id), "its content").on(&name);
        found.add(at.says("is not what was accepted: it does not give the fingerprint that was taken then"));
    }
    let parties = parties(ticket);
    let mut scaled = AlreadyScaled::default();
    let mut made = Vec::with_capacity(one.derivations.len());
    for derivation in &one.derivations {
        let accruals = match make(agreements, derivation, (ticket, &parties), &mut scaled) {
            Ok(made) => compare(derivation, made, (ticket, &name), &mut found),
            Err(why) => {
                found.add(under(derivation, "").on(&name).says(why));
                Vec::new()
            }
        };
        let differences = std::mem::take(&mut found).listed;
        let (derivation, stored) = (derivation.id, derivation.accruals.len());
        made.push(Made { derivation, accruals, stored, differences });
    }
    Again { scaled_on: ticket.scaled_on, pieces: ticket.pieces.len(), made, ticket: name }
}

/// A place in what a contract made of a ticket.
fn under<'a>(derivation: &Derivation, member: &str) -> At<'a> {
    let Derivation { ticket, contract, .. } = derivation;
    At::new(format!("/tickets/{ticket}/contracts/{contract}{member}"), "what a contract made of it")
}

/// What practices made of a ticket's pieces so far. Contracts of one job mostly scale alike, and what is the same practice
/// over the same pieces comes to the same.
#[derive(Default)]
struct AlreadyScaled<'a>(Vec<(&'a Practice, Vec<bool>, Rc<ScaledPieces>)>);

/// The pieces as pay takes them, and the volumes in the order of the pieces.
type ScaledPieces = (Vec<PieceFacts>, Vec<PieceVolume>);

impl<'a> AlreadyScaled<'a> {
    fn scale(&mut self, ticket: &ScaleTicket, party: &PartyWork, practice: &'a Practice) -> Rc<ScaledPieces> {
        let concerned: Vec<bool> =
            (1_u16..).zip(&ticket.pieces).map(|(number, _)| party.concerns(number)).collect();
        let known = self.0.iter().find(|(of, pieces, _)| *of == practice && *pieces == concerned);
        if let Some((_, _, known)) = known {
            return known.clone();
        }
        let scaled = Rc::new(facts_of(ticket, without_working(ticket, party, practice)));
        self.0.push((practice, concerned, scaled.clone()));
        scaled
    }
}

/// What a contract's terms make of a ticket: volumes and quantities.
struct Remade {
    pieces: Rc<ScaledPieces>,
    accrued: Accrued,
}

/// The same work under the same terms, from the measured facts.
fn make<'a>(
    agreements: &'a Agreements,
    derivation: &Derivation,
    (ticket, parties): (&ScaleTicket, &Result<Vec<PartyWork>, NumberError>),
    scaled: &mut AlreadyScaled<'a>,
) -> Result<Remade, String> {
    let terms = agreements.terms.get(&derivation.terms).ok_or("its terms are not among the contract's")?;
    let party = agreements.parties.get(&derivation.contract).ok_or("its contract is not there")?;
    if terms.contract != derivation.contract {
        return Err("its terms are those of another contract".to_owned());
    }
    let held = agreements.in_force(derivation.contract, ticket.scaled_on);
    if held != Some(derivation.terms) {
        return Err("other terms held for the day when the week was posted".to_owned());
    }
    let work = parties.as_ref().map_err(ToString::to_string)?;
    let work = work.iter().find(|one| one.party == *party);
    let work = work.ok_or("the contract's party did nothing on this ticket")?;
    let pieces = scaled.scale(ticket, work, &terms.practice);
    let accrued = accrue(&terms.rates, &work.work, &pieces.0, turn_of(ticket).as_ref());
    Ok(Remade { accrued: accrued.map_err(|error| error.to_string())?, pieces })
}

/// Holds what is stored against what was made again; answers with the latter's quantities.
fn compare(
    stored: &Derivation,
    made: Remade,
    (ticket, name): (&ScaleTicket, &TicketReference),
    found: &mut Differences,
) -> Vec<(u16, Fixed, usize)> {
    if stored.volumes.len() != made.pieces.1.len() {
        let at = under(stored, "/pieces").on(name);
        found.add(at.values(Some(&stored.volumes.len()), Some(&made.pieces.1.len())));
    }
    for (number, (stored_volume, made_volume)) in (1_u16..).zip(stored.volumes.iter().zip(&made.pieces.1)) {
        compare_piece(stored, number, (stored_volume, made_volume), name, found);
    }
    let volumes = &made.pieces.1;
    let made: Vec<(u16, Fixed, Vec<u16>)> = made
        .accrued
        .accruals
        .into_iter()
        .filter_map(|one| {
            let rate = u16::try_from(one.rate).ok()?.checked_add(1)?;
            Some((rate, one.quantity, one.pieces))
        })
        .collect();
    let stored_rates = stored.accruals.iter().map(|one| one.rate_number);
    let rates: BTreeSet<u16> = stored_rates.chain(made.iter().map(|one| one.0)).collect();
    for rate in rates {
        let kept = stored.accruals.iter().find(|one| one.rate_number == rate);
        let comes = made.iter().find(|one| one.0 == rate);
        let at = |member: &str, what: &str| {
            let what = format!("its {what} under rate {rate}");
            let pointer =
                format!("/tickets/{}/contracts/{}/rates/{rate}/{member}", stored.ticket, stored.contract);
            At::new(pointer, what).on(name)
        };
        let (quantity, derived) = (kept.map(|one| one.quantity), comes.map(|one| one.1));
        // Words cost more than the comparison: they are put together where there is something to say.
        if quantity != derived {
            found.add(at("quantity", "quantity").values(quantity.as_ref(), derived.as_ref()));
        }
        if let (Some(kept), Some(comes)) = (kept, comes)
            && kept.pieces != comes.2
        {
            found.add(at("pieces", "pieces").values(Some(&listed(&kept.pieces)), Some(&listed(&comes.2))));
        }
    }
    if let Some(kept) = &stored.timber {
        let comes = timber_of(&ticket.pieces, volumes, made.iter().flat_map(|(.., pieces)| pieces));
        if comes.as_ref() != Ok(kept) {
            let says = "is not what its pieces add up to by kind of timber";
            found.add(under(stored, "/timber").on(name).says(says));
        }
    }
    made.into_iter().map(|(rate, quantity, pieces)| (rate, quantity, pieces.len())).collect()
}

fn listed(numbers: &[u16]) -> String {
    numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn compare_piece(
    derivation: &Derivation,
    number: u16,
    (stored, made): (&PieceVolume, &PieceVolume),
    name: &TicketReference,
    found: &mut Differences,
) {
    if stored == made {
        return;
    }
    let at = |member: &str| {
        let Derivation { ticket, contract, .. } = derivation;
        let pointer = format!("/tickets/{ticket}/contracts/{contract}/pieces/{number}/{member}");
        At::new(pointer, format!("piece {number}, {member}")).on(name).piece(number)
    };
    let unit = |volume: &PieceVolume| volume.volume.map(|(unit, ..)| unit.name());
    let gross = |volume: &PieceVolume| volume.volume.map(|(_, gross, _)| gross);
    let net = |volume: &PieceVolume| volume.volume.map(|(.., net)| net);
    found.compare_if_any(at("unit"), unit(stored).as_ref(), unit(made).as_ref());
    found.compare_if_any(at("gross"), gross(stored).as_ref(), gross(made).as_ref());
    found.compare_if_any(at("net"), net(stored).as_ref(), net(made).as_ref());
    found.compare_if_any(at("cull"), stored.cull.as_ref(), made.cull.as_ref());
}
