//! What each payee earned in the span, what was posted and paid, and what the account stands at.

use std::collections::BTreeMap;

use kernel::Money;
use settlement::{Account, Payee};
use storage::{Books, MoneyFilter, Outfit, Page};
use wire::PayeeAudit;

use super::Scope;
use super::addresses;
use super::contracts::Found;
use crate::books::names::Names;
use crate::http::refusal::Refusal;

/// One payee's figures.
#[derive(Clone, Copy)]
struct Figures {
    earned: Money,
    posted: Money,
    paid: Money,
}

/// Everybody in question: whoever earned or was posted anything under the contracts and, where no crew is named,
/// whoever was paid; a mill alone when a mill asks. Workers come before mills, each by name.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn payees(
    books: &mut Books,
    found: &Found,
    (scope, outfit): (Scope, &Outfit),
    names: &Names,
) -> Result<Vec<PayeeAudit>, Refusal> {
    let nothing = Money::zero(outfit.currency);
    let none = Figures { earned: nothing, posted: nothing, paid: nothing };
    let mut figures: BTreeMap<Payee, Figures> = BTreeMap::new();
    // As if nothing had been posted before, the lines are all that was earned, rounded and divided as always.
    let earned = settlement::settle(scope.to, outfit.currency, &found.entitled, &[]);
    for line in earned.map_err(Refusal::internal)? {
        for share in line.now.by_payee {
            let one = figures.entry(share.payee).or_insert(none);
            one.earned = one.earned.plus(share.amount)?;
        }
    }
    for line in &found.posted {
        for (payee, minor) in &line.by_payee {
            let one = figures.entry(*payee).or_insert(none);
            one.posted = one.posted.plus(Money::from_minor(*minor, outfit.currency))?;
        }
    }
    let own_only = scope.mill.map(Payee::Mill);
    let days = MoneyFilter { of: own_only, from: Some(scope.from), to: Some(scope.to) };
    for one in books.payments(days, Page::first(u16::MAX)).await? {
        let payee = one.payment.payee;
        if one.reversed.is_some() || (scope.crew.is_some() && !figures.contains_key(&payee)) {
            continue;
        }
        let sum = figures.entry(payee).or_insert(none);
        sum.paid = sum.paid.plus(Money::from_minor(one.payment.amount_minor, outfit.currency))?;
    }
    let balances = balances(books, scope, outfit).await?;
    let mut shown: Vec<PayeeAudit> = figures
        .into_iter()
        .map(|(payee, one)| {
            let balance = balances.get(&payee).copied().unwrap_or(nothing);
            view(payee, one, balance, (scope, names))
        })
        .collect::<Result<_, Refusal>>()?;
    shown.sort_by(|left, right| {
        let order = |one: &PayeeAudit| (one.payee.mill_id.is_some(), one.payee.name.clone());
        order(left).cmp(&order(right))
    });
    Ok(shown)
}

async fn balances(
    books: &mut Books,
    scope: Scope,
    outfit: &Outfit,
) -> Result<BTreeMap<Payee, Money>, Refusal> {
    let mut balances = BTreeMap::new();
    for (account, minor) in books.account_balances(scope.to).await? {
        let amount = Money::from_minor(minor, outfit.currency);
        match account {
            Account::PayableToWorker(worker) => {
                balances.insert(Payee::Worker(worker), amount.negated()?);
            }
            Account::ReceivableFromMill(mill) => {
                balances.insert(Payee::Mill(mill), amount);
            }
            _ => {}
        }
    }
    Ok(balances)
}

fn view(
    payee: Payee,
    figures: Figures,
    balance: Money,
    (scope, names): (Scope, &Names),
) -> Result<PayeeAudit, Refusal> {
    let (name, id) = match payee {
        Payee::Worker(worker) => ("worker_id", worker.to_string()),
        Payee::Mill(mill) => ("mill_id", mill.to_string()),
    };
    let mut made_of = vec![addresses::statements(name, id.clone())];
    if !scope.for_mill {
        made_of.push(addresses::payments((name, id), (scope.from, scope.to)));
        made_of.push(addresses::balances(scope.to));
    }
    Ok(PayeeAudit {
        payee: names.payee(payee),
        earned: figures.earned,
        posted: figures.posted,
        open: figures.earned.minus(figures.posted)?,
        paid: figures.paid,
        balance,
        made_of,
    })
}
