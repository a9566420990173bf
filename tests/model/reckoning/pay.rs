//! Each worker's pay in one settlement, beside its lines.

use std::collections::{BTreeMap, BTreeSet};

use crate::facts::calendar::Day;
use crate::facts::hours::Hours;
use crate::facts::record::Record;
use crate::reckoning::division::Fraction;
use crate::reckoning::earning::{Payee, Reckoning};
use crate::reckoning::keeping_back::{Kept, Purse, kept_back, owed_back};
use crate::reckoning::ledger::{Ledger, Line};
use crate::reckoning::wages::{Added, all_wages};

/// What is added to a week, against what was posted of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Supplement {
    pub week: Day,
    pub what: Added,
    pub is_regular: bool,
    pub now: i64,
    pub formerly: i64,
}

/// A worker's pay in one settlement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pay {
    pub worker: usize,
    pub earned: i64,
    /// The hours of the settled week, if there are any, and those of them that are overtime.
    pub hours: Option<(Hours, i64)>,
    pub regular_rate: Option<Fraction>,
    pub supplements: Vec<Supplement>,
    /// What nothing but board and lodging may cut into.
    pub protected: i64,
    pub kept_back: Vec<Kept>,
}

impl Pay {
    pub fn added(&self) -> i64 {
        self.supplements.iter().map(|one| one.now - one.formerly).sum()
    }

    pub fn kept(&self) -> i64 {
        self.kept_back.iter().map(|one| one.taken).sum()
    }

    pub fn total(&self) -> i64 {
        self.earned + self.added() - self.kept()
    }
}

/// The pay of everybody who has a share in a line, something added, or something to be given back.
pub fn pays(record: &Record, reckoning: &Reckoning, ledger: &Ledger, lines: &[Line], week: Day) -> Vec<Pay> {
    let mut earned: BTreeMap<usize, i64> = BTreeMap::new();
    for (payee, cents) in lines.iter().flat_map(|line| &line.shares) {
        if let Payee::Worker(worker) = payee {
            *earned.entry(*worker).or_default() += cents;
        }
    }
    let all = all_wages(record, reckoning, week);
    let mut now: BTreeMap<(Day, usize, Added), i64> = BTreeMap::new();
    for ((of, worker), wages) in &all {
        now.extend(wages.added.iter().map(|(what, cents)| ((*of, *worker, *what), *cents)));
    }
    let supplements = restated(&now, &ledger.added, week);
    let mut workers: BTreeSet<usize> = earned.keys().chain(supplements.keys()).copied().collect();
    workers.extend(owed_back(record, ledger, week));
    let pay = |worker| {
        let hours = record.hours(worker, Day(week.0 - 6), week);
        let wages = all.get(&(week, worker));
        let mut pay = Pay {
            worker,
            earned: earned.get(&worker).copied().unwrap_or(0),
            hours: (hours.all() > 0).then_some((hours, wages.map_or(0, |wages| wages.overtime))),
            regular_rate: wages.map(|wages| wages.regular_rate.clone()),
            supplements: supplements.get(&worker).cloned().unwrap_or_default(),
            protected: wages.map_or(0, |wages| wages.minimum + wages.added[&Added::OvertimePremium]),
            kept_back: Vec::new(),
        };
        let purse = Purse { worker, pay: pay.total(), protected: pay.protected };
        pay.kept_back = kept_back(record, ledger, lines, week, purse);
        pay
    };
    workers.into_iter().map(pay).collect()
}

/// By worker, what is added now against what was posted; what has not changed is left out.
fn restated(
    now: &BTreeMap<(Day, usize, Added), i64>,
    posted: &BTreeMap<(Day, usize, Added), i64>,
    week: Day,
) -> BTreeMap<usize, Vec<Supplement>> {
    let keys: BTreeSet<_> = now.keys().chain(posted.keys()).filter(|(of, ..)| *of <= week).collect();
    let mut by_worker: BTreeMap<usize, Vec<Supplement>> = BTreeMap::new();
    for key in keys {
        let before = posted.get(key);
        let (now, formerly) = (now.get(key).copied().unwrap_or(0), before.copied().unwrap_or(0));
        if now != formerly {
            let (of, worker, what) = *key;
            let is_regular = of == week && before.is_none();
            let one = Supplement { week: of, what, is_regular, now, formerly };
            by_worker.entry(worker).or_default().push(one);
        }
    }
    by_worker
}
