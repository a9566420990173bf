//! Each task that was done to a piece, by each who did it: what pays for it, or why nothing does.

use kernel::Exact;
use settlement::{RateUnit, Task};
use storage::ContractParty;
use wire::{
    CorrectionStep, PayState, RateExplanation, SetAsideView, TaskExplanation, TermsExplanation, TicketState,
    UnpricedExplanation,
};

use super::scale::{Made, exact_amount, steps_of};
use super::{Known, history, saying};
use crate::books::names::party_view;
use crate::books::parties::PartyWork;
use crate::http::refusal::Refusal;
use crate::routes::tickets::show::set_aside_view;

/// Everything that was done to a piece.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn of_piece(
    known: &Known,
    work: &[PartyWork],
    made: &[Made<'_>],
    number: u16,
    took_its_place: Option<&CorrectionStep>,
) -> Result<Vec<TaskExplanation>, Refusal> {
    let mut tasks = Vec::new();
    for party in work {
        for done in party.work.iter().filter(|done| done.pieces.contains(&number)) {
            let part = done.part_of(number);
            let own: Vec<&Made<'_>> = made.iter().filter(|made| made.party.party == party.party).collect();
            let task = TaskExplanation {
                task: done.task,
                party: party_view(party.party),
                party_name: known.names.party(party.party),
                part: (part != Exact::ONE).then_some(part),
                under: under(known, &own, done.task, number)?,
                unpriced: unpriced(known, &own, done.task, number, party.party),
                set_aside: set_aside(known, done.task, number),
                says: Vec::new(),
            };
            let says = saying::of_task(known, &task, took_its_place);
            tasks.push(TaskExplanation { says, ..task });
        }
    }
    tasks.sort_by_key(|task| task.task);
    Ok(tasks)
}

/// What terms made of the piece for a task: what counts, and what was posted once.
fn under(
    known: &Known,
    made: &[&Made<'_>],
    task: Task,
    number: u16,
) -> Result<Vec<TermsExplanation>, Refusal> {
    let mut under = Vec::new();
    for one in made {
        let rates = rates(known, one, task, number)?;
        let was_posted = rates.iter().any(|rate| rate.state != PayState::NeverPosted);
        if one.stands || was_posted {
            // What is paid by the piece or the turn alone need not be scaled, and says nothing of it.
            let by_size = |rate: &RateExplanation| {
                let by_length = matches!(rate.unit, RateUnit::LinearFoot | RateUnit::LinearMetre);
                by_length || rate.unit.volume_unit().is_some()
            };
            let needs_scale = rates.is_empty() || rates.iter().any(by_size);
            let explained = one.of_piece(number, known);
            let cannot = explained.cannot.clone().filter(|_| needs_scale);
            under.push(TermsExplanation { rates, cannot, ..explained });
        }
    }
    Ok(under)
}

fn rates(known: &Known, made: &Made<'_>, task: Task, number: u16) -> Result<Vec<RateExplanation>, Refusal> {
    let mut rates = Vec::new();
    for (accrual, parts) in made.accruals.iter().filter(|(accrual, _)| accrual.task == task) {
        let Some(part) = parts.get(&number) else { continue };
        let missing = || Refusal::internal("a count under a rate that is not there");
        let rate = made.terms.rates.get(accrual.rate).ok_or_else(missing)?;
        let position = u16::try_from(accrual.rate).map_err(|_| kernel::NumberError::TooLarge)?;
        let rate_number = position.saturating_add(1);
        let history = history::of(known, made.derivation, rate_number);
        let (state, settles_with) = history::state(known, made.derivation.id, &history);
        let explained = RateExplanation {
            rate_number,
            rate_name: rate.name().as_str().to_owned(),
            kind: rate.kind(),
            unit: rate.unit(),
            basis: rate.basis(),
            price: rate.signed_price(),
            ticket_quantity: accrual.quantity,
            ticket_pieces: u64::try_from(accrual.pieces.len()).map_err(|_| kernel::NumberError::TooLarge)?,
            quantity: part.quantity,
            exact_amount: exact_amount(part.quantity, rate)?,
            steps: steps_of(accrual, number),
            state,
            settles_with,
            history,
            says: Vec::new(),
        };
        let says = saying::of_rate(known, &explained, part.counted);
        rates.push(RateExplanation { says, ..explained });
    }
    Ok(rates)
}

/// Why nothing pays for a task on a piece, as the books stand; a mill is not told.
fn unpriced(
    known: &Known,
    made: &[&Made<'_>],
    task: Task,
    number: u16,
    party: ContractParty,
) -> Option<UnpricedExplanation> {
    if known.mill.is_some() {
        return None;
    }
    let concerns = |of: Task, piece: Option<u16>| of == task && piece.is_none_or(|piece| piece == number);
    let open = known.state == TicketState::Standing && set_aside(known, task, number).is_empty();
    let explained = |piece: Option<u16>, reason: &settlement::UnpricedReason| UnpricedExplanation {
        whole_task: piece.is_none(),
        says: reason.to_string(),
        reason: reason.clone(),
        open,
    };
    // The latest that was made is what counts, or would if the ticket stood.
    if let Some(latest) = made.last() {
        let found = latest.unpriced.iter().find(|one| concerns(one.task, one.piece));
        return found.map(|one| explained(one.piece, &one.reason));
    }
    let of_party = known.unpriced.iter().filter(|one| one.derivation.is_none() && one.party == party);
    let mut found = of_party.filter(|one| concerns(one.task, one.piece));
    found.next().map(|one| explained(one.piece, &one.reason))
}

fn set_aside(known: &Known, task: Task, number: u16) -> Vec<SetAsideView> {
    let of_it = known.set_aside.iter().filter(|one| one.task == task);
    let of_it = of_it.filter(|one| one.piece.is_none_or(|piece| piece == number));
    of_it.cloned().map(set_aside_view).collect()
}
