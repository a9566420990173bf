//! What has been settled, and the lines, statements and audit that ought to follow.

use std::collections::{BTreeMap, BTreeSet};

use crate::facts::calendar::Day;
use crate::facts::record::Record;
use crate::reckoning::division::Fraction;
use crate::reckoning::earning::{Earned, Key, Payee, Reckoning};
use crate::reckoning::keeping_back::For;
use crate::reckoning::pay::Pay;
use crate::reckoning::wages::{Added, all_wages};
use crate::service::outfit::{MILLS, WORKERS};

/// A line of a settlement as it is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub key: Key,
    pub is_regular: bool,
    pub quantity: i64,
    pub sticks: i64,
    pub cents: i64,
    pub shares: Vec<(Payee, i64)>,
    /// Quantity and cents as they stand, and as they stood.
    pub now: (i64, i64),
    pub formerly: (i64, i64),
    /// Tickets paid for the first time and taken back; only adjustments name them.
    pub entered: Vec<u32>,
    pub withdrawn: Vec<u32>,
    /// The same of time entries, by their places.
    pub entered_time: Vec<usize>,
    pub withdrawn_time: Vec<usize>,
    /// The members' parts, where they share by hours.
    pub parts_by_hours: Vec<(Payee, Fraction)>,
}

/// What one payee has coming from one settlement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Statement {
    pub payee: Payee,
    pub opening: i64,
    /// What came and went since the last statement.
    pub moved: i64,
    pub earned: i64,
    pub added: i64,
    pub kept_back: i64,
    pub closing: i64,
}

/// What was posted.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// What each key stood at when it was last posted.
    pub settled: BTreeMap<Key, Earned>,
    /// What was posted as added, by week, worker and kind.
    pub added: BTreeMap<(Day, usize, Added), i64>,
    pub latest: Option<Day>,
    /// What was kept back, by worker.
    pub kept: BTreeMap<(usize, For), i64>,
    /// What everybody was settled in all.
    pub settled_to: BTreeMap<Payee, i64>,
    /// What everybody's last statement closed with.
    pub closings: BTreeMap<Payee, i64>,
}

impl Ledger {
    /// The lines that a settlement of the week ought to have.
    pub fn lines(&self, reckoning: &Reckoning, week: Day) -> Vec<Line> {
        let keys: BTreeSet<&Key> = reckoning.earned.keys().chain(self.settled.keys()).collect();
        let nothing = Earned::default();
        keys.into_iter()
            .filter(|key| key.week <= week)
            .filter_map(|key| {
                let now = reckoning.earned.get(key).unwrap_or(&nothing);
                let before = self.settled.get(key);
                let formerly = before.unwrap_or(&nothing);
                if same_work(now, formerly) {
                    return None;
                }
                let is_regular = key.week == week && before.is_none();
                Some(Line {
                    key: *key,
                    is_regular,
                    quantity: now.quantity - formerly.quantity,
                    sticks: now.sticks - formerly.sticks,
                    cents: now.cents - formerly.cents,
                    shares: difference(&now.shares, &formerly.shares),
                    now: (now.quantity, now.cents),
                    formerly: (formerly.quantity, formerly.cents),
                    entered: only(is_regular, &now.tickets, &formerly.tickets),
                    withdrawn: only(is_regular, &formerly.tickets, &now.tickets),
                    entered_time: only(is_regular, &now.time, &formerly.time),
                    withdrawn_time: only(is_regular, &formerly.time, &now.time),
                    parts_by_hours: now.parts_by_hours.clone(),
                })
            })
            .collect()
    }

    /// What a payee has coming: what he was settled, and what came and went beside it.
    pub fn balance(&self, record: &Record, payee: Payee) -> i64 {
        self.settled_to.get(&payee).copied().unwrap_or(0) + record.money.moved(payee)
    }

    /// The balances of everybody, without those who have nothing.
    pub fn balances(&self, record: &Record) -> BTreeMap<Payee, i64> {
        let workers = (0..WORKERS).map(Payee::Worker);
        let everybody = workers.chain((0..MILLS).map(Payee::Mill));
        without_zeros(everybody.map(|payee| (payee, self.balance(record, payee))).collect())
    }

    /// Posts the lines of a week, and answers with the statements that ought to come of it.
    pub fn post(
        &mut self,
        record: &Record,
        reckoning: &Reckoning,
        pays: &[Pay],
        week: Day,
    ) -> Vec<Statement> {
        let lines = self.lines(reckoning, week);
        let mut named: BTreeSet<Payee> = self.balances(record).into_keys().collect();
        named.extend(self.closings.iter().filter(|(_, closing)| **closing != 0).map(|(payee, _)| *payee));
        named.extend(lines.iter().flat_map(|line| &line.shares).map(|(payee, _)| *payee));
        named.extend(pays.iter().map(|pay| Payee::Worker(pay.worker)));
        let statements: Vec<Statement> =
            named.into_iter().map(|payee| self.statement(record, &lines, pays, payee)).collect();
        for line in &lines {
            // Whoever shared in it goes on being named, with nothing, when the work is gone.
            let withdrawn = || Earned {
                shares: line.shares.iter().map(|(payee, _)| (*payee, 0)).collect(),
                ..Earned::default()
            };
            let now = reckoning.earned.get(&line.key).cloned().unwrap_or_else(withdrawn);
            self.settled.insert(line.key, now);
        }
        for pay in pays {
            for one in &pay.supplements {
                self.added.insert((one.week, pay.worker, one.what), one.now);
            }
            for one in &pay.kept_back {
                *self.kept.entry((pay.worker, one.what)).or_default() += one.taken;
            }
        }
        for one in &statements {
            *self.settled_to.entry(one.payee).or_default() += one.earned + one.added - one.kept_back;
            self.closings.insert(one.payee, one.closing);
        }
        self.latest = Some(week);
        statements
    }

    fn statement(&self, record: &Record, lines: &[Line], pays: &[Pay], payee: Payee) -> Statement {
        let shares = lines.iter().flat_map(|line| &line.shares).filter(|(of, _)| *of == payee);
        let earned: i64 = shares.map(|(_, cents)| cents).sum();
        let pay = pays.iter().find(|pay| Payee::Worker(pay.worker) == payee);
        let (added, kept_back) = pay.map_or((0, 0), |pay| (pay.added(), pay.kept()));
        let balance = self.balance(record, payee);
        let opening = self.closings.get(&payee).copied().unwrap_or(0);
        let (moved, closing) = (balance - opening, balance + earned + added - kept_back);
        Statement { payee, opening, moved, earned, added, kept_back, closing }
    }

    /// The earliest week that ought to have been posted before this one.
    pub fn earlier_open_week(&self, lines: &[Line], pays: &[Pay], week: Day) -> Option<Day> {
        let added = pays.iter().flat_map(|pay| &pay.supplements).map(|one| one.week);
        let weeks = lines.iter().map(|line| line.key.week).chain(added);
        weeks.filter(|earlier| *earlier < week && self.latest.is_none_or(|latest| latest < *earlier)).min()
    }
}

/// What is in one set and not in the other; regular lines name nothing.
fn only<T: Copy + Ord>(is_regular: bool, one: &BTreeSet<T>, other: &BTreeSet<T>) -> Vec<T> {
    if is_regular { Vec::new() } else { one.difference(other).copied().collect() }
}

/// Whether nothing has changed, neither a figure nor the tickets behind it.
fn same_work(now: &Earned, formerly: &Earned) -> bool {
    (now.quantity, now.sticks, now.cents, &now.tickets, &now.time)
        == (formerly.quantity, formerly.sticks, formerly.cents, &formerly.tickets, &formerly.time)
        && difference(&now.shares, &formerly.shares).iter().all(|(_, cents)| *cents == 0)
}

/// One list of shares less another; whoever is in the second alone comes last.
fn difference(now: &[(Payee, i64)], formerly: &[(Payee, i64)]) -> Vec<(Payee, i64)> {
    let mut shares = now.to_vec();
    for (payee, cents) in formerly {
        match shares.iter_mut().find(|(known, _)| known == payee) {
            Some((_, share)) => *share -= cents,
            None => shares.push((*payee, -cents)),
        }
    }
    shares
}

/// The sum of what everybody has earned in weeks up to one and of what is added to them, straight from the record: the
/// plain truth that every settlement, in whatever order, must come to.
pub fn earned_up_to(record: &Record, reckoning: &Reckoning, week: Day) -> BTreeMap<Payee, i64> {
    let mut sums = BTreeMap::new();
    for earned in reckoning.earned.iter().filter(|(key, _)| key.week <= week).map(|(_, earned)| earned) {
        for (payee, cents) in &earned.shares {
            *sums.entry(*payee).or_default() += cents;
        }
    }
    for ((_, worker), wages) in all_wages(record, reckoning, week) {
        *sums.entry(Payee::Worker(worker)).or_default() += wages.added.values().sum::<i64>();
    }
    without_zeros(sums)
}

/// The same without those who have nothing.
pub fn without_zeros(mut sums: BTreeMap<Payee, i64>) -> BTreeMap<Payee, i64> {
    sums.retain(|_, cents| *cents != 0);
    sums
}

/// Pay under one rate in an audit: quantity, sticks, earned and posted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AuditedPay {
    pub quantity: i64,
    pub sticks: i64,
    pub earned: i64,
    pub posted: i64,
}

/// What an audit of whole weeks ought to say of pay, by contract, terms and rate.
pub fn audit(
    ledger: &Ledger,
    reckoning: &Reckoning,
    from: Day,
    to: Day,
) -> BTreeMap<(usize, usize, usize), AuditedPay> {
    let mut pay: BTreeMap<(usize, usize, usize), AuditedPay> = BTreeMap::new();
    let in_span = |key: &&Key| from <= key.week && key.week <= to;
    for key in reckoning.earned.keys().filter(in_span) {
        let (row, earned) =
            (pay.entry((key.contract, key.terms, key.rate)).or_default(), &reckoning.earned[key]);
        row.quantity += earned.quantity;
        row.sticks += earned.sticks;
        row.earned += earned.cents;
    }
    for key in ledger.settled.keys().filter(in_span) {
        pay.entry((key.contract, key.terms, key.rate)).or_default().posted += ledger.settled[key].cents;
    }
    pay
}
