//! The journal entry and the statements of a posted week, held against its lines and pays.

use std::collections::{BTreeMap, BTreeSet};

use kernel::Money;
use settlement::{Account, Line, Pay, Payee};
use storage::{Books, JournalFilter, Page, Statement, StatementFilter};
use wire::Compared;

use super::differences::{At, Differences};
use super::lines::id_of;
use super::pay::PostedPays;
use super::posted::Posted;
use crate::books::account_titles::account_title;
use crate::http::refusal::Refusal;

/// The statements of a posted week.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn statements(books: &mut Books, posted: &Posted) -> Result<Vec<Statement>, Refusal> {
    let of_it = StatementFilter { settlement: Some(posted.week.settlement), ..StatementFilter::default() };
    Ok(books.statements(of_it, Page { after: None, limit: u16::MAX }).await?)
}

/// Holds the journal entry against the lines and the pays.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn compare_journal(
    books: &mut Books,
    posted: &Posted,
    (lines, pays): (&[Line], &PostedPays),
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<(), Refusal> {
    let pays: Vec<Pay> = pays.by_worker.values().map(|pay| pays.as_pay(pay, posted)).collect();
    let derived = match settlement::journal(lines, &pays) {
        Ok(entry) => entry,
        Err(error) => {
            found.add(At::new("/journal", "the lines make no journal entry").says(error));
            return Ok(());
        }
    };
    let entry = match posted.week.entry {
        Some(id) => {
            let filter = JournalFilter { entry: Some(id), ..JournalFilter::default() };
            books.journal(&filter, Page::first(1)).await?.into_iter().next()
        }
        None => None,
    };
    let mut stored: BTreeMap<Account, i64> = BTreeMap::new();
    for (account, minor) in entry.into_iter().flat_map(|entry| entry.postings) {
        let sum = stored.entry(account).or_default();
        *sum = sum.saturating_add(minor);
        compared.postings = compared.postings.saturating_add(1);
    }
    let derived: BTreeMap<Account, Money> =
        derived.postings().iter().map(|posting| (posting.account, posting.amount)).collect();
    let accounts: BTreeSet<Account> = stored.keys().chain(derived.keys()).copied().collect();
    for account in accounts {
        let title = account_title(account, &posted.names);
        let kept = stored.get(&account).map(|minor| Money::from_minor(*minor, posted.outfit.currency));
        let at = At::new(format!("/journal/{title}"), format!("the journal entry, {title}"));
        found.compare_if_any(at, kept.as_ref(), derived.get(&account));
    }
    Ok(())
}

/// What a statement ought to say, in the currency's smallest unit.
#[derive(Clone, Copy, Default)]
struct Sums {
    earned: i64,
    added: i64,
    kept_back: i64,
}

/// Holds every statement against the lines, the pays, the statement before and what came and went in between.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn compare_statements(
    books: &mut Books,
    posted: &Posted,
    (pays, statements): (&PostedPays, &[Statement]),
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<(), Refusal> {
    let sums = sums(posted, pays);
    let closings = books.closings_before(posted.moment).await?;
    for statement in statements {
        compared.statements = compared.statements.saturating_add(1);
        let came = books.movements(statement).await?;
        let moved = came.iter().fold(0_i64, |sum, one| sum.saturating_add(one.amount_minor));
        let opening = closings.get(&statement.payee).copied().unwrap_or_default();
        compare_one(posted, statement, (opening, moved), &sums, found);
    }
    for payee in sums.keys().filter(|payee| !statements.iter().any(|one| one.payee == **payee)) {
        let name = posted.names.payee(*payee).name;
        let at = At::new(format!("/statements/{}", id_of(*payee)), format!("the statement for {name}"));
        found.add(at.says("is not there"));
    }
    Ok(())
}

fn sums(posted: &Posted, pays: &PostedPays) -> BTreeMap<Payee, Sums> {
    let mut sums: BTreeMap<Payee, Sums> = BTreeMap::new();
    for (payee, minor) in posted.own.iter().flat_map(|line| &line.by_payee) {
        let sum = sums.entry(*payee).or_default();
        sum.earned = sum.earned.saturating_add(*minor);
    }
    for (worker, pay) in &pays.by_worker {
        let sum = sums.entry(Payee::Worker(*worker)).or_default();
        let added = pay.supplements.iter().map(|(_, minor)| *minor);
        sum.added = added.fold(sum.added, i64::saturating_add);
        let taken = pay.take_offs.iter().map(|one| one.taken_minor);
        sum.kept_back = taken.fold(sum.kept_back, i64::saturating_add);
    }
    sums
}

fn compare_one(
    posted: &Posted,
    statement: &Statement,
    (opening, moved): (i64, i64),
    sums: &BTreeMap<Payee, Sums>,
    found: &mut Differences,
) {
    let money = |minor| Money::from_minor(minor, posted.outfit.currency);
    let name = posted.names.payee(statement.payee).name;
    let of_it = sums.get(&statement.payee).copied().unwrap_or_default();
    let closing = [moved, of_it.earned, of_it.added].into_iter().fold(opening, i64::saturating_add);
    let closing = closing.saturating_sub(of_it.kept_back);
    for (member, stored, derived) in [
        ("opening", statement.opening_minor, opening),
        ("moved", statement.moved_minor, moved),
        ("earned", statement.earned_minor, of_it.earned),
        ("added", statement.added_minor, of_it.added),
        ("kept_back", statement.kept_back_minor, of_it.kept_back),
        ("closing", statement.closing_minor, closing),
    ] {
        let pointer = format!("/statements/{}/{member}", id_of(statement.payee));
        let what = format!("the statement for {name}, {}", member.replace('_', " "));
        found.compare(At::new(pointer, what), &money(stored), &money(derived));
    }
}
