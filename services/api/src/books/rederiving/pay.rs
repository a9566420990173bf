//! What was added to pay and kept back of it, worked out again from what the books had when the week was posted.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use jiff::civil::Date;
use kernel::{AdvanceId, ChargeId, Money, WorkerId};
use settlement::{Keeping, Line, LineKind, Pay, Payee, SupplementKey, SupplementLine, TakeOff, WeekEarned};
use storage::{Books, ChargeState, MoneyFilter, Page, PostedPay, PostedTakeOff, Statement, Undone};
use wire::Compared;

use super::differences::{At, Differences};
use super::posted::Posted;
use crate::books::hours::by_week;
use crate::books::paying::{PayRecords, pays_from};
use crate::http::refusal::Refusal;

/// A list read whole.
fn whole<I>() -> Page<I> {
    Page { after: None, limit: u16::MAX }
}

/// Everybody's pay beside the lines as it was posted.
#[derive(Debug, Default)]
pub struct PostedPays {
    /// What was added and kept back, by worker.
    pub by_worker: BTreeMap<WorkerId, PostedPay>,
    /// Every charge there is, by id.
    pub charges: BTreeMap<ChargeId, ChargeState>,
}

impl PostedPays {
    /// One worker's pay in the form that the journal takes.
    pub fn as_pay(&self, pay: &PostedPay, posted: &Posted) -> Pay {
        let money = |minor| Money::from_minor(minor, posted.outfit.currency);
        let supplements = pay.supplements.iter().map(|(key, minor)| SupplementLine {
            kind: LineKind::Regular,
            key: *key,
            change: money(*minor),
            now: money(*minor),
            formerly: money(0),
        });
        let take_offs = pay.take_offs.iter().filter_map(|one| {
            let (due, taken) = (money(one.due_minor), money(one.taken_minor));
            let keeping = self.keeping(one)?;
            Some(TakeOff { keeping, due, taken, carried: due.minus(taken).ok()? })
        });
        Pay {
            worker: pay.worker,
            earned: money(0),
            supplements: supplements.collect(),
            take_offs: take_offs.collect(),
        }
    }

    fn keeping(&self, one: &PostedTakeOff) -> Option<Keeping> {
        match (one.contract, one.advance, one.charge) {
            (Some(contract), None, None) => Some(Keeping::Holdback { contract }),
            (None, Some(advance), None) => Some(Keeping::Advance { advance }),
            (None, None, Some(charge)) => {
                Some(Keeping::Charge { charge, kind: self.charges.get(&charge)?.charge.kind })
            }
            _ => None,
        }
    }
}

/// Works out everybody's pay again, and holds what was posted against it; answers with the latter.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn compare(
    books: &mut Books,
    posted: &Posted,
    lines: &[Line],
    statements: &[Statement],
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<PostedPays, Refusal> {
    let settlement = posted.week.settlement;
    let kept = books.posted_pays(&[settlement]).await?;
    let before: Vec<PostedPay> = books.posted_pays(&posted.earlier).await?.into_values().collect();
    let charges = books.charges(MoneyFilter::default(), whole()).await?;
    let by_worker: BTreeMap<_, _> = kept.into_iter().map(|((_, worker), pay)| (worker, pay)).collect();
    let records = records_then(books, posted, &before, &charges, statements).await?;
    let charges = charges.into_iter().map(|state| (state.charge.id, state)).collect();
    let pays = PostedPays { by_worker, charges };
    let earned = earned_by_week(posted)?;
    let week = posted.week.week_ends_on;
    let (again, _) =
        pays_from(records, &posted.outfit, week, (lines, &earned), &posted.terms, &posted.names)?;
    let again: BTreeMap<WorkerId, Pay> = again.into_iter().map(|pay| (pay.worker, pay)).collect();
    let workers: BTreeSet<WorkerId> = again.keys().chain(pays.by_worker.keys()).copied().collect();
    for worker in workers {
        compared.pays = compared.pays.saturating_add(1);
        let stored = pays.by_worker.get(&worker).map(|pay| pays.as_pay(pay, posted));
        compare_one(posted, worker, stored.as_ref(), again.get(&worker), found);
    }
    Ok(pays)
}

/// What pay was worked out from when the week was posted.
async fn records_then(
    books: &mut Books,
    posted: &Posted,
    before: &[PostedPay],
    charges: &[ChargeState],
    statements: &[Statement],
) -> Result<PayRecords, Refusal> {
    let (moment, week) = (posted.moment, posted.week.week_ends_on);
    let undone: HashSet<Undone> = books.undone_before(moment).await?.into_iter().collect();
    let taken = Taken::of(before);
    let mut records = PayRecords {
        held: taken.held,
        balances: statements
            .iter()
            .map(|one| (one.payee, one.opening_minor.saturating_add(one.moved_minor)))
            .collect(),
        hours: by_week(&books.hours_at(moment, week).await?, &posted.outfit)?,
        wage_terms: books.wage_terms().await?,
        formerly: taken.supplements,
        ..PayRecords::default()
    };
    records.wage_terms.retain(|one| moment.is_after(one.id));
    let stood = |id: ChargeId, dated: Date| moment.is_after(id) && dated <= week;
    for state in charges.iter().filter(|one| stood(one.charge.id, one.charge.dated)) {
        let mut then = state.clone();
        then.reversed = then.reversed.filter(|_| undone.contains(&Undone::Charge(state.charge.id)));
        then.taken_minor = taken.charges.get(&state.charge.id).copied().unwrap_or_default();
        records.charges.push(then);
    }
    for mut state in books.advances(MoneyFilter::default(), whole()).await? {
        let id = state.advance.id;
        if !moment.is_after(id) || state.advance.dated > week {
            continue;
        }
        state.reversed = state.reversed.filter(|_| undone.contains(&Undone::Advance(id)));
        state.taken_minor = taken.advances.get(&id).copied().unwrap_or_default();
        records.advances.push(state);
    }
    records.charges.retain(|one| one.outstanding_minor() != 0);
    records.charges.sort_by_key(|one| (one.charge.dated, one.charge.id));
    records.advances.retain(|one| one.outstanding_minor() != 0);
    records.advances.sort_by_key(|one| (one.advance.dated, one.advance.id));
    for state in books.releases(MoneyFilter::default(), whole()).await? {
        let release = &state.release;
        if moment.is_after(release.id) && !undone.contains(&Undone::Release(release.id)) {
            let held = records.held.entry((release.worker, release.contract)).or_default();
            *held = held.saturating_sub(release.amount_minor);
        }
    }
    Ok(records)
}

/// What had been taken by earlier settlements.
#[derive(Default)]
struct Taken {
    charges: BTreeMap<ChargeId, i64>,
    advances: BTreeMap<AdvanceId, i64>,
    held: BTreeMap<(WorkerId, kernel::ContractId), i64>,
    supplements: BTreeMap<SupplementKey, i64>,
}

impl Taken {
    fn of(before: &[PostedPay]) -> Self {
        let mut taken = Self::default();
        for pay in before {
            for (key, minor) in &pay.supplements {
                add(taken.supplements.entry(*key).or_default(), *minor);
            }
            for one in &pay.take_offs {
                if let Some(charge) = one.charge {
                    add(taken.charges.entry(charge).or_default(), one.taken_minor);
                }
                if let Some(advance) = one.advance {
                    add(taken.advances.entry(advance).or_default(), one.taken_minor);
                }
                if let Some(contract) = one.contract {
                    add(taken.held.entry((pay.worker, contract)).or_default(), one.taken_minor);
                }
            }
        }
        taken
    }
}

fn add(sum: &mut i64, minor: i64) {
    *sum = sum.saturating_add(minor);
}

/// What each worker's weeks had brought by the lines posted up to this week.
fn earned_by_week(posted: &Posted) -> Result<BTreeMap<(Date, WorkerId), WeekEarned>, Refusal> {
    let currency = posted.outfit.currency;
    let nothing = WeekEarned { by_pieces: Money::zero(currency), by_time: Money::zero(currency) };
    let mut weeks: BTreeMap<(Date, WorkerId), WeekEarned> = BTreeMap::new();
    for line in posted.before.iter().chain(&posted.own) {
        let by_time = posted.rate(&line.key).is_some_and(|rate| rate.unit.is_time());
        for (payee, minor) in &line.by_payee {
            let Payee::Worker(worker) = payee else { continue };
            let week = weeks.entry((line.key.week, *worker)).or_insert(nothing);
            let sum = if by_time { &mut week.by_time } else { &mut week.by_pieces };
            *sum = sum.plus(Money::from_minor(*minor, currency))?;
        }
    }
    Ok(weeks)
}

fn compare_one(
    posted: &Posted,
    worker: WorkerId,
    stored: Option<&Pay>,
    again: Option<&Pay>,
    found: &mut Differences,
) {
    let name = posted.names.payee(Payee::Worker(worker)).name;
    let change = |pay: Option<&Pay>, key: SupplementKey| {
        pay?.supplements.iter().find(|one| one.key == key).map(|one| one.change)
    };
    let keys: BTreeSet<SupplementKey> =
        [stored, again].into_iter().flatten().flat_map(|pay| &pay.supplements).map(|one| one.key).collect();
    for key in keys {
        let supplement = key.supplement.name();
        let at = At::new(
            format!("/pays/{worker}/supplements/{}/{supplement}", key.week),
            format!(
                "{} added to the pay of {name} for the week ending {}",
                supplement.replace('_', " "),
                key.week
            ),
        );
        found.compare_if_any(at, change(stored, key).as_ref(), change(again, key).as_ref());
    }
    let take_offs = |pay: Option<&Pay>| pay.map(|pay| pay.take_offs.clone()).unwrap_or_default();
    let (stored, again) = (take_offs(stored), take_offs(again));
    for place in 0..stored.len().max(again.len()) {
        let (stored, again) = (stored.get(place), again.get(place));
        if stored == again {
            continue;
        }
        let what = |one: &TakeOff| format!("{}: {} due, {} taken", kept_for(one), one.due, one.taken);
        let at = At::new(
            format!("/pays/{worker}/take_offs/{}", place.saturating_add(1)),
            format!("what was kept back of the pay of {name}, {}", place.saturating_add(1)),
        );
        found.add(at.values(stored.map(what).as_ref(), again.map(what).as_ref()));
    }
}

fn kept_for(one: &TakeOff) -> String {
    match one.keeping {
        Keeping::Holdback { contract } => format!("holdback of contract {contract}"),
        Keeping::Advance { advance } => format!("advance {advance}"),
        Keeping::Charge { charge, .. } => format!("charge {charge}"),
    }
}
