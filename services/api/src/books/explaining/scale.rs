//! What contracts' terms made of a ticket, with the working, and each piece's part of what was counted.

use std::collections::BTreeMap;

use kernel::Exact;
use settlement::{Accrual, CountStep, PiecePart, Unpriced};
use storage::{Derivation, ScaleTicket, Terms};
use wire::TermsExplanation;

use super::Known;
use crate::books::deriving::{facts_of, turn_of};
use crate::books::parties::PartyWork;
use crate::books::scaling_ticket::{Outcome, with_working, without_working};
use crate::http::refusal::Refusal;

/// What one derivation made of the ticket, made again with every step.
pub struct Made<'a> {
    /// As it is stored.
    pub derivation: &'a Derivation,
    /// The terms.
    pub terms: &'a Terms,
    /// Whose work it is.
    pub party: &'a PartyWork,
    /// Whether it counts now.
    pub stands: bool,
    /// Every piece with its working.
    outcomes: Vec<Option<Outcome>>,
    /// What was counted under each rate, and each piece's part of it.
    pub accruals: Vec<(Accrual, BTreeMap<u16, PiecePart>)>,
    /// What no rate covers.
    pub unpriced: Vec<Unpriced>,
}

/// Every derivation of the ticket that the caller may see, each contract's in the order of their making.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn all<'a>(
    known: &'a Known,
    ticket: &ScaleTicket,
    work: &'a [PartyWork],
) -> Result<Vec<Made<'a>>, Refusal> {
    let contracts = known.names.contracts();
    let mut all = Vec::new();
    for derivation in &known.derivations {
        let contract = contracts.iter().find(|contract| contract.id == derivation.contract);
        let missing = || Refusal::internal("a derivation names a contract or terms that are not there");
        let contract = contract.ok_or_else(missing)?;
        let terms = known.terms.get(&derivation.terms).ok_or_else(missing)?;
        let Some(party) = work.iter().find(|one| one.party == contract.party) else { continue };
        let stands = known.standing.contains(&derivation.id);
        all.push(make(derivation, terms, party, stands, ticket)?);
    }
    Ok(all)
}

fn make<'a>(
    derivation: &'a Derivation,
    terms: &'a Terms,
    party: &'a PartyWork,
    stands: bool,
    ticket: &ScaleTicket,
) -> Result<Made<'a>, Refusal> {
    let (facts, _) = facts_of(ticket, without_working(ticket, party, &terms.practice));
    let turn = turn_of(ticket);
    let refused = |error| match error {
        settlement::AccrualError::Number(error) => Refusal::from(error),
        other => Refusal::internal(other),
    };
    let accrued = settlement::accrue(&terms.rates, &party.work, &facts, turn.as_ref()).map_err(refused)?;
    let mut accruals = Vec::with_capacity(accrued.accruals.len());
    for accrual in accrued.accruals {
        let parts = settlement::apportion(&accrual, &terms.rates, &party.work, &facts, turn.as_ref());
        let parts = parts.map_err(refused)?.into_iter().map(|part| (part.piece, part)).collect();
        accruals.push((accrual, parts));
    }
    let outcomes = with_working(ticket, party, &terms.practice);
    Ok(Made { derivation, terms, party, stands, outcomes, accruals, unpriced: accrued.unpriced })
}

impl Made<'_> {
    /// What was made of a piece, still without its rates.
    pub fn of_piece(&self, number: u16, known: &Known) -> TermsExplanation {
        let place = usize::from(number.saturating_sub(1));
        let stored = self.derivation.volumes.get(place);
        let volume = stored.and_then(|stored| stored.volume);
        let outcome = self.outcomes.get(place).and_then(Option::as_ref);
        let scaled = outcome.and_then(|outcome| outcome.as_ref().ok());
        TermsExplanation {
            contract_id: self.derivation.contract,
            contract_title: known.names.contract(self.derivation.contract),
            terms_id: self.derivation.terms,
            effective_from: self.terms.effective_from,
            derived_at: self.derivation.derived_at,
            stands: self.stands,
            volume_unit: volume.map(|(unit, ..)| unit),
            gross: volume.map(|(_, gross, _)| gross),
            net: volume.map(|(.., net)| net),
            cull: stored.and_then(|stored| stored.cull.clone()),
            cannot: outcome.and_then(|outcome| outcome.as_ref().err()).map(ToString::to_string),
            working: scaled
                .into_iter()
                .flat_map(|one| &one.working)
                .map(|step| step.says.to_string())
                .collect(),
            rates: Vec::new(),
        }
    }
}

/// What was done to a piece's count: its own steps, and those that are about the whole turn.
pub fn steps_of(accrual: &Accrual, number: u16) -> Vec<String> {
    let concerns = |step: &&CountStep| match step {
        CountStep::Miles { piece, .. } | CountStep::Part { piece, .. } => *piece == number,
        CountStep::PartOfTurn { .. } | CountStep::LeastQuantity { .. } => true,
    };
    accrual.steps.iter().filter(concerns).map(ToString::to_string).collect()
}

/// The exact money of a quantity.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn exact_amount(quantity: Exact, rate: &settlement::Rate) -> Result<Exact, Refusal> {
    let unit = Exact::of(rate.unit().counted_per_unit().into());
    Ok(quantity.times(rate.signed_price().exact())?.over(unit)?)
}
