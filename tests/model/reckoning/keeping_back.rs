//! What is kept back from a worker's pay: holdback, then advances, then charges, the older ones first.

use std::collections::BTreeMap;

use crate::facts::calendar::Day;
use crate::facts::money::{MoneyRecord, Recovery};
use crate::facts::record::Record;
use crate::reckoning::division::{fraction, nearest};
use crate::reckoning::earning::Payee;
use crate::reckoning::ledger::{Ledger, Line};

/// What something is kept back for, by places in the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum For {
    /// The holdback of a contract.
    Holdback(usize),
    Advance(usize),
    Charge(usize),
}

/// What was due, and what of it was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    pub what: For,
    pub due: i64,
    pub taken: i64,
}

impl Kept {
    /// What came of it, in words.
    pub fn kind(self) -> String {
        let what = match self.what {
            For::Holdback(_) => "holdback",
            For::Advance(_) => "advance",
            For::Charge(_) => "charge",
        };
        let how = match (self.taken, self.due) {
            (taken, _) if taken < 0 => "given back",
            (0, _) => "carried forward",
            (taken, due) if taken < due => "taken in part",
            _ => "taken",
        };
        format!("{what} {how}")
    }
}

/// A worker's pay before anything is kept back.
#[derive(Clone, Copy, Debug)]
pub struct Purse {
    pub worker: usize,
    /// Earned and added.
    pub pay: i64,
    /// What nothing but board may cut into.
    pub protected: i64,
}

fn percent(cents: i64, hundredths: i64) -> i64 {
    nearest(&fraction(i128::from(cents) * i128::from(hundredths), 10_000))
}

/// What is outstanding of an advance or a charge: below zero when it was taken back after it was taken off.
pub fn outstanding(record: &Record, ledger: &Ledger, what: For) -> i64 {
    let stands = match what {
        For::Advance(place) => record.money.stands_at(MoneyRecord::Advance(place)),
        For::Charge(place) => record.money.stands_at(MoneyRecord::Charge(place)),
        For::Holdback(_) => 0,
    };
    stands - ledger.kept.iter().filter(|((_, kept), _)| *kept == what).map(|(_, cents)| cents).sum::<i64>()
}

/// What is held of a worker under a contract.
pub fn held(record: &Record, ledger: &Ledger, worker: usize, contract: usize) -> i64 {
    let kept = ledger.kept.get(&(worker, For::Holdback(contract))).copied().unwrap_or(0);
    kept - record.money.let_go(worker, contract)
}

/// Workers who must be given something back.
pub fn owed_back(record: &Record, ledger: &Ledger, week: Day) -> Vec<usize> {
    let due = dated(record, week).into_iter();
    let negative = due.filter(|(.., what)| outstanding(record, ledger, *what) < 0);
    negative.map(|(_, worker, _)| worker).collect()
}

/// Advances and charges dated by then: each day's in the order of filing, advances first of all.
fn dated(record: &Record, week: Day) -> Vec<(Day, usize, For)> {
    let advances = record.money.advances.iter().enumerate();
    let charges = record.money.charges.iter().enumerate();
    let mut advances: Vec<_> =
        advances.map(|(place, one)| (one.dated, one.worker, For::Advance(place))).collect();
    let mut charges: Vec<_> =
        charges.map(|(place, one)| (one.dated, one.worker, For::Charge(place))).collect();
    advances.sort_by_key(|(day, ..)| *day);
    charges.sort_by_key(|(day, ..)| *day);
    advances.into_iter().chain(charges).filter(|(day, ..)| *day <= week).collect()
}

/// What is kept back from a purse by the settlement of a week with these lines.
pub fn kept_back(record: &Record, ledger: &Ledger, lines: &[Line], week: Day, purse: Purse) -> Vec<Kept> {
    let mut dues: Vec<(For, i64, bool)> = Vec::new();
    for (what, due) in holdbacks(record, ledger, lines, purse.worker) {
        dues.push((what, due, false));
    }
    for (.., what) in dated(record, week).into_iter().filter(|(_, worker, _)| *worker == purse.worker) {
        let left = outstanding(record, ledger, what);
        let (most, cuts) = match what {
            For::Charge(place) => {
                let charge = &record.money.charges[place];
                (charge.most_a_week.unwrap_or(left), charge.cuts_into_minimum)
            }
            For::Advance(place) => match record.money.advances[place].recovery {
                Recovery::Whole => (left, false),
                Recovery::MostAWeek(cents) => (cents, false),
                Recovery::PartOfPay(part) => (percent(purse.pay, part).max(0), false),
            },
            For::Holdback(_) => (0, false),
        };
        dues.push((what, left.min(most), cuts));
    }
    let owed = ledger.balance(record, Payee::Worker(purse.worker)).min(0);
    let mut left = purse.pay + owed;
    let mut above_minimum = left - purse.protected;
    let mut kept = Vec::new();
    for (what, due, cuts) in dues.into_iter().filter(|(_, due, _)| *due != 0) {
        let room = if cuts { left } else { left.min(above_minimum) };
        let taken = due.min(room.max(0));
        left -= taken;
        above_minimum -= taken;
        kept.push(Kept { what, due, taken });
    }
    kept
}

/// A part of what the lines under each contract's terms pay a worker, up to what the contract holds at the most; never
/// more is given back than is held.
fn holdbacks(record: &Record, ledger: &Ledger, lines: &[Line], worker: usize) -> Vec<(For, i64)> {
    let mut paid: BTreeMap<(usize, usize), i64> = BTreeMap::new();
    for line in lines {
        for (_, cents) in line.shares.iter().filter(|(payee, _)| *payee == Payee::Worker(worker)) {
            *paid.entry((line.key.contract, line.key.terms)).or_default() += cents;
        }
    }
    let mut by_now: BTreeMap<usize, i64> = BTreeMap::new();
    let mut dues = Vec::new();
    for ((contract, terms), paid) in paid {
        if let Some(holdback) = record.terms[terms].holdback {
            let held = by_now.entry(contract).or_insert_with(|| held(record, ledger, worker, contract));
            let part = percent(paid, holdback.percent);
            let room = holdback.cap.map_or(part, |cap| (cap - *held).max(0));
            let due = if part > room { room } else { part.max(-*held) };
            *held += due;
            dues.push((For::Holdback(contract), due));
        }
    }
    dues
}
