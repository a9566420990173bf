//! The lines of a posted week stated again from what was counted, and held against what was posted and drafted.

use std::collections::BTreeSet;

use kernel::{Fixed, Money};
use settlement::{Entitlement, Figures, Line, LineKey, Payee, Side};
use storage::{ContractParty, PostedLine};
use wire::{Compared, LineView, PartsByHours};

use super::counting::{Count, Counts};
use super::differences::{At, Differences};
use super::posted::Posted;
use crate::books::drafting::Shown;
use crate::books::entitling::settled;
use crate::http::refusal::Refusal;
use crate::routes::settlements::show::{lines, pays, volumes};

/// Holds every posted line against what was counted again.
pub fn compare(posted: &Posted, counts: &Counts, compared: &mut Compared, found: &mut Differences) {
    let mut done = BTreeSet::new();
    for line in &posted.own {
        compared.lines = compared.lines.saturating_add(1);
        let shares = u64::try_from(line.by_payee.len()).unwrap_or(u64::MAX);
        compared.shares = compared.shares.saturating_add(shares);
        let Some(count) = counts.get(&line.key).filter(|_| done.insert(line.key)) else { continue };
        match state_again(posted, line, count) {
            Ok(again) => compare_one(posted, line, &again, found),
            Err(why) => found.add(At::line(line.number, "", "the line").says(why)),
        }
    }
}

/// The line that what was counted comes to, less what was posted before; with nothing to change where it needs none.
fn state_again(posted: &Posted, line: &PostedLine, count: &Count) -> Result<Line, String> {
    let currency = posted.outfit.currency;
    let before = settled(&posted.before(line.key), currency, &posted.terms).map_err(told)?;
    let entitlements =
        if count.counted.is_empty() { Vec::new() } else { vec![entitlement(posted, line, count)?] };
    let stated = settlement::settle(posted.week.week_ends_on, currency, &entitlements, &before);
    let stated = stated.map_err(|error| error.to_string())?.pop();
    let empty = posted.as_line(line).ok_or("the terms have no such rate")?;
    Ok(stated.unwrap_or(Line { change: Figures::nothing(currency), ..empty }))
}

/// What a refusal is about: told where it was found, and no fault of this request.
fn told(refusal: Refusal) -> String {
    refusal.cause.map_or(refusal.problem.detail, |cause| cause.to_string())
}

fn entitlement(posted: &Posted, line: &PostedLine, count: &Count) -> Result<Entitlement, String> {
    let key = line.key;
    let contract = posted.names.contracts().into_iter().find(|one| one.id == key.contract);
    let party = match key.side {
        Side::Crew { crew, .. } | Side::Member { crew, .. } => ContractParty::Crew(crew),
        Side::Mill { mill } => ContractParty::Mill(mill),
    };
    if contract.map(|contract| contract.party) != Some(party) {
        return Err("the contract is with somebody else".to_owned());
    }
    let shares = match key.side {
        Side::Crew { share_set, .. } => {
            let set = posted.sharing.set(share_set);
            let set = set.ok_or("its division of pay had not been filed")?;
            let days: Vec<_> = count.days.iter().map(|(day, quantity)| (*day, *quantity)).collect();
            posted.sharing.shares(set, &days, &posted.names).map_err(told)?
        }
        Side::Member { .. } | Side::Mill { .. } => Vec::new(),
    };
    let rate = posted.rate(&key).ok_or("the terms have no such rate")?;
    let derivations = count.counted.iter().copied().collect();
    Ok(Entitlement { key, rate, quantity: count.quantity, pieces: count.pieces, derivations, shares })
}

fn compare_one(posted: &Posted, line: &PostedLine, again: &Line, found: &mut Differences) {
    let number = line.number;
    let change = &again.change;
    let amount = Money::from_minor(line.amount_minor, posted.outfit.currency);
    found.compare(At::line(number, "quantity", "quantity"), &line.quantity, &change.quantity);
    found.compare(At::line(number, "pieces", "pieces"), &line.pieces, &change.pieces);
    found.compare(At::line(number, "amount", "amount"), &amount, &change.amount);
    compare_shares(posted, line, again, found);
    for (member, stored, derived) in
        [("entered", &line.entered, &again.entered), ("withdrawn", &line.withdrawn, &again.withdrawn)]
    {
        let (stored, derived): (BTreeSet<_>, BTreeSet<_>) =
            (stored.iter().collect(), derived.iter().collect());
        if stored != derived {
            let at = At::line(number, member, member);
            found.add(at.values(Some(&stored.len()), Some(&derived.len())));
        }
    }
}

/// What fell to each payee; whoever got nothing and ought to have nothing may be missing.
fn compare_shares(posted: &Posted, line: &PostedLine, again: &Line, found: &mut Differences) {
    let money = |minor| Money::from_minor(minor, posted.outfit.currency);
    let payees: BTreeSet<Payee> = line
        .by_payee
        .iter()
        .map(|(payee, _)| *payee)
        .chain(again.change.by_payee.iter().map(|share| share.payee))
        .collect();
    for payee in payees {
        let stored = line.by_payee.iter().find(|(one, _)| *one == payee).map(|(_, minor)| money(*minor));
        let derived =
            again.change.by_payee.iter().find(|share| share.payee == payee).map(|share| share.amount);
        let name = posted.names.payee(payee).name;
        let at = At::line(line.number, &format!("by_payee/{}", id_of(payee)), &format!("the part of {name}"));
        found.compare_if_any(at, stored.as_ref(), derived.as_ref());
    }
}

/// The id of a payee.
pub fn id_of(payee: Payee) -> String {
    match payee {
        Payee::Worker(worker) => worker.to_string(),
        Payee::Mill(mill) => mill.to_string(),
    }
}

/// Holds the draft that was posted against the lines: nothing is missing, nothing has slipped in, and it still gives the
/// fingerprint that was taken when it was drafted.
pub fn compare_draft(posted: &Posted, counts: &Counts, found: &mut Differences) {
    for drafted in &posted.drafted {
        match posted.own.iter().find(|line| line.number == drafted.number) {
            Some(line) => compare_drafted(posted, drafted, line, counts, found),
            None => {
                let what = format!("{}, {}, {}", drafted.party_name, drafted.rate_name, drafted.amount);
                let at = At::line(drafted.number, "", "the line");
                found.add(at.says(format!("was drafted and is not among the posted ones: {what}")));
            }
        }
    }
    for line in &posted.own {
        if !posted.drafted.iter().any(|drafted| drafted.number == line.number) {
            let at = At::line(line.number, "", "the line");
            found.add(at.says("was posted and is not in the draft"));
        }
    }
    let shown = (lines(&posted.draft), pays(&posted.draft), volumes(&posted.draft));
    let computed = match shown {
        (Ok(lines), Ok(pays), Ok(volumes)) => Shown { lines, pays, volumes }.fingerprint().ok(),
        _ => None,
    };
    if computed != Some(posted.draft.fingerprint) {
        let at = At::new("/draft/fingerprint", "the draft");
        found.add(at.says("is not what was drafted: it does not give the fingerprint that was taken then"));
    }
}

fn compare_drafted(
    posted: &Posted,
    drafted: &LineView,
    line: &PostedLine,
    counts: &Counts,
    found: &mut Differences,
) {
    let number = drafted.number;
    let currency = posted.outfit.currency;
    let at = |member: &str, what: &str| At::drafted(number, member, what);
    if key_of(drafted) != Some(line.key) {
        found.add(at("", "what it is about").says("is not what the posted line is about"));
        return;
    }
    let amount = Money::from_minor(line.amount_minor, currency);
    found.compare(at("quantity", "quantity"), &drafted.quantity, &line.quantity);
    found.compare(at("pieces", "pieces"), &drafted.pieces, &line.pieces);
    found.compare(at("amount", "amount"), &drafted.amount, &amount);
    if let Some(rate) = posted.rate(&line.key) {
        found.compare(at("price", "price"), &drafted.price, &rate.price);
        found.compare(at("unit", "unit"), &drafted.unit, &rate.unit);
    }
    let mut before = (Fixed::ZERO, Money::zero(currency));
    for one in posted.before(line.key) {
        let amount = before.1.plus(Money::from_minor(one.amount_minor, currency));
        match (before.0.plus(one.quantity), amount) {
            (Ok(quantity), Ok(amount)) => before = (quantity, amount),
            _ => found.add(at("formerly_amount", "what was posted before").says("is too much to be held")),
        }
    }
    let formerly = at("formerly_quantity", "the quantity posted before");
    found.compare(formerly, &drafted.formerly_quantity, &before.0);
    found.compare(at("formerly_amount", "what was posted before"), &drafted.formerly_amount, &before.1);
    for share in &drafted.by_payee {
        let is_his = |payee: &Payee| posted.names.payee(*payee) == share.payee;
        let stored = line.by_payee.iter().find(|(payee, _)| is_his(payee));
        let stored = stored.map(|(_, minor)| Money::from_minor(*minor, currency));
        let what = format!("the part of {}", share.payee.name);
        let id = share.payee.worker_id.map(|id| id.to_string());
        let id = id.or(share.payee.mill_id.map(|id| id.to_string())).unwrap_or_default();
        found.compare_if_any(at(&format!("by_payee/{id}"), &what), Some(&share.amount), stored.as_ref());
    }
    compare_parts(posted, drafted, line, counts, found);
}

/// The parts of a crew that shares by hours, kept with the draft since hours can be corrected.
fn compare_parts(
    posted: &Posted,
    drafted: &LineView,
    line: &PostedLine,
    counts: &Counts,
    found: &mut Differences,
) {
    let Side::Crew { share_set, .. } = line.key.side else { return };
    let Some(count) = counts.get(&line.key).filter(|_| posted.sharing.is_by_hours(share_set)) else { return };
    let shares = match entitlement(posted, line, count) {
        Ok(entitlement) if !count.counted.is_empty() => entitlement.shares,
        _ => Vec::new(),
    };
    let parts: Vec<_> =
        shares.iter().map(|one| PartsByHours { worker_id: one.worker, parts: one.parts }).collect();
    if parts != drafted.parts_by_hours {
        let at = At::drafted(drafted.number, "parts_by_hours", "the parts by hours");
        found.add(at.says("are not those of the hours that counted when the week was posted"));
    }
}

/// What a drafted line is about.
fn key_of(line: &LineView) -> Option<LineKey> {
    let side = match (line.crew_id, line.share_set_id, line.worker_id, line.mill_id) {
        (Some(crew), Some(share_set), None, None) => Side::Crew { crew, share_set },
        (Some(crew), None, Some(worker), None) => Side::Member { crew, worker },
        (None, None, None, Some(mill)) => Side::Mill { mill },
        _ => return None,
    };
    let rate = line.rate_number.checked_sub(1)?;
    Some(LineKey { week: line.week_ends_on, contract: line.contract_id, terms: line.terms_id, rate, side })
}
