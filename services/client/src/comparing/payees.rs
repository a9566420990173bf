//! What two drafts come to for everybody.

use std::collections::BTreeMap;

use kernel::{Money, MoneyError};
use serde::Serialize;
use wire::{PayeeView, SettlementView, TicketReference};

use super::{Difference, LineDifference};

/// What a draft comes to for one payee.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PayeeFigures {
    /// His shares of the lines; for a mill, what it owes by them.
    pub earned: Money,
    /// What is added to his pay; nothing for a mill.
    pub added: Money,
    /// What is kept back of it; nothing for a mill.
    pub kept_back: Money,
    /// What it comes to.
    pub total: Money,
}

/// A payee for whom two drafts do not come to the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PayeeDifference {
    /// Who.
    pub payee: PayeeView,
    /// By the draft before.
    pub before: PayeeFigures,
    /// By the draft after.
    pub after: PayeeFigures,
    /// How much more it is; below zero where it is less.
    pub change: Money,
    /// The tickets behind the lines in which he has a part, as [`LineDifference::tickets`] has them.
    pub tickets: Vec<TicketReference>,
}

/// Workers before mills, then by name; the id keeps people of one name apart.
type Key = (bool, String, String);

fn key(payee: &PayeeView) -> Key {
    let worker = payee.worker_id.map(|id| id.to_string());
    let id = worker.or(payee.mill_id.map(|id| id.to_string())).unwrap_or_default();
    (payee.mill_id.is_some(), payee.name.clone(), id)
}

type Everybody<'a> = BTreeMap<Key, (&'a PayeeView, PayeeFigures)>;

/// What a draft comes to for everybody: for workers as their pays say, for mills and for whoever has no pay as the lines
/// add up. None where sums cannot be held.
fn everybody(draft: &SettlementView) -> Result<Everybody<'_>, MoneyError> {
    let zero = Money::zero(draft.paid_to_crews.currency());
    let mut all = Everybody::new();
    for share in draft.lines.iter().flat_map(|line| &line.by_payee) {
        let nothing = PayeeFigures { earned: zero, added: zero, kept_back: zero, total: zero };
        let (_, figures) = all.entry(key(&share.payee)).or_insert((&share.payee, nothing));
        figures.earned = figures.earned.plus(share.amount)?;
        figures.total = figures.earned;
    }
    for pay in &draft.pays {
        let (earned, added, kept_back, total) = (pay.earned, pay.added, pay.kept_back, pay.total);
        all.insert(key(&pay.payee), (&pay.payee, PayeeFigures { earned, added, kept_back, total }));
    }
    Ok(all)
}

/// Everybody for whom the two do not come to the same.
pub(super) fn between(
    before: &SettlementView,
    after: &SettlementView,
    lines: &[LineDifference],
) -> Vec<PayeeDifference> {
    let zero = Money::zero(after.paid_to_crews.currency());
    let nothing = PayeeFigures { earned: zero, added: zero, kept_back: zero, total: zero };
    let (Ok(old), Ok(new)) = (everybody(before), everybody(after)) else { return Vec::new() };
    let mut payees: BTreeMap<&Key, &PayeeView> = BTreeMap::new();
    payees.extend(old.iter().chain(&new).map(|(key, (payee, _))| (key, *payee)));
    let figures = |of: &Everybody<'_>, key: &Key| of.get(key).map_or(nothing, |(_, figures)| *figures);
    let difference = |(key, payee): (&Key, &PayeeView)| {
        let (before, after) = (figures(&old, key), figures(&new, key));
        let change = after.total.minus(before.total).ok().filter(|_| before != after)?;
        Some(PayeeDifference { payee: payee.clone(), before, after, change, tickets: behind(payee, lines) })
    };
    payees.into_iter().filter_map(difference).collect()
}

/// The tickets behind the lines in which somebody has a part.
fn behind(payee: &PayeeView, lines: &[LineDifference]) -> Vec<TicketReference> {
    let has_part = |change: &Difference<wire::LineView>| {
        let sides = [change.before(), change.after()];
        sides.into_iter().flatten().any(|line| line.by_payee.iter().any(|share| share.payee == *payee))
    };
    let mut tickets = BTreeMap::new();
    for ticket in lines.iter().filter(|line| has_part(&line.change)).flat_map(|line| &line.tickets) {
        tickets.insert((&ticket.book, ticket.number), ticket);
    }
    tickets.into_values().cloned().collect()
}
