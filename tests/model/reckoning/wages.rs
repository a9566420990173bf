//! What is added to a worker's week for his hours: make-up, pay for rest, a premium for overtime.

use std::collections::BTreeMap;

use crate::facts::calendar::Day;
use crate::facts::hours::Hours;
use crate::facts::record::Record;
use crate::facts::wage_terms::WageTerms;
use crate::reckoning::division::{Fraction, fraction, nearest};
use crate::reckoning::earning::{Payee, Reckoning};

/// What can be added, in the order of a statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Added {
    GuaranteeMakeUp,
    MinimumMakeUp,
    RestPay,
    OvertimePremium,
}

impl Added {
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::GuaranteeMakeUp, "guarantee_make_up"),
        (Self::MinimumMakeUp, "minimum_make_up"),
        (Self::RestPay, "rest_pay"),
        (Self::OvertimePremium, "overtime_premium"),
    ];
}

/// What is added to one week, in cents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wages {
    pub added: BTreeMap<Added, i64>,
    /// What an hour brought, in dollars.
    pub regular_rate: Fraction,
    /// In hundredths.
    pub overtime: i64,
    /// What the minimum comes to for the week's hours.
    pub minimum: i64,
}

/// A count of hundredths of hours by a rate in ten-thousandths of a dollar, in cents.
fn cents(rate: &Fraction, hundredths: i64) -> i64 {
    nearest(&(rate * fraction(hundredths.into(), 100) * fraction(100, 1)))
}

fn dollars(ten_thousandths: i64) -> Fraction {
    fraction(ten_thousandths.into(), 10_000)
}

/// What so many cents come to for an hour, in dollars; never below zero, as when more was docked than paid.
fn an_hour(cents: i64, hundredths: i64, terms: &WageTerms) -> Fraction {
    let exact = fraction(cents.max(0).into(), hundredths.into());
    if terms.to_the_cent { fraction(nearest(&(exact * fraction(100, 1))).into(), 100) } else { exact }
}

/// What is added to a week with these hours, of which pieces and time brought so many cents.
pub fn wages(terms: &WageTerms, hours: Hours, (by_pieces, by_time): (i64, i64)) -> Wages {
    let mut added = BTreeMap::new();
    let missing = |floor: i64, amount: i64| (floor - amount).max(0);

    let guarantee =
        terms.guarantee.map_or(0, |rate| missing(cents(&dollars(rate), hours.piece_work), by_pieces));
    added.insert(Added::GuaranteeMakeUp, guarantee);
    let mut straight = by_pieces + by_time + guarantee;

    let at_work = hours.piece_work + hours.paid;
    let under_minimum = if terms.rest_apart { at_work } else { hours.all() };
    let make_up = terms.minimum.map_or(0, |rate| missing(cents(&dollars(rate), under_minimum), straight));
    added.insert(Added::MinimumMakeUp, make_up);
    straight += make_up;

    let mut rest = 0;
    if terms.rest_apart && hours.rest > 0 {
        let average = if at_work == 0 { fraction(0, 1) } else { an_hour(straight, at_work, terms) };
        let least = terms.minimum.map_or(fraction(0, 1), dollars);
        rest = cents(&average.max(least), hours.rest);
    }
    added.insert(Added::RestPay, rest);
    straight += rest;

    let regular_rate = an_hour(straight, hours.all(), terms);
    let overtime = terms.overtime_after.map_or(0, |after| (hours.all() - after).max(0));
    added.insert(Added::OvertimePremium, cents(&(&regular_rate * fraction(1, 2)), overtime));
    let minimum = terms.minimum.map_or(0, |rate| cents(&dollars(rate), hours.all()));
    Wages { added, regular_rate, overtime, minimum }
}

/// What is added to each worker's week that has hours and terms.
pub fn all_wages(record: &Record, reckoning: &Reckoning, week: Day) -> BTreeMap<(Day, usize), Wages> {
    let standing = record.standing_time();
    let worked = standing.iter().map(|(_, entry, _)| (entry.day.week_end(), entry.worker));
    let mut all = BTreeMap::new();
    for (of, worker) in worked.filter(|(of, _)| *of <= week) {
        if let Some(terms) = record.wage_terms_of(of) {
            let hours = record.hours(worker, Day(of.0 - 6), of);
            all.insert((of, worker), wages(terms, hours, brought(record, reckoning, of, worker)));
        }
    }
    all
}

/// What a worker's week brought by pieces, and by time.
fn brought(record: &Record, reckoning: &Reckoning, week: Day, worker: usize) -> (i64, i64) {
    let (mut by_pieces, mut by_time) = (0, 0);
    for (key, earned) in reckoning.earned.iter().filter(|(key, _)| key.week == week) {
        let own = earned.shares.iter().filter(|(payee, _)| *payee == Payee::Worker(worker));
        let cents: i64 = own.map(|(_, cents)| cents).sum();
        if record.terms[key.terms].rates[key.rate].unit.is_time() {
            by_time += cents
        } else {
            by_pieces += cents
        }
    }
    (by_pieces, by_time)
}

/// 29 CFR 778.111(a): 491.00 by pieces in 46 hours, 4 hours of waiting at 8.00; half of 10.46 for 10 hours is 52.30.
#[test]
fn the_model_pays_overtime_as_the_published_example_does() {
    let terms = WageTerms {
        from: Day(0),
        guarantee: None,
        minimum: None,
        rest_apart: false,
        overtime_after: Some(4000),
        to_the_cent: false,
    };
    let hours = Hours { piece_work: 4600, paid: 400, rest: 0 };
    let week = wages(&terms, hours, (49_100, 3_200));
    assert_eq!(week.regular_rate, fraction(1046, 100));
    assert_eq!((week.overtime, week.added[&Added::OvertimePremium]), (1000, 5_230));
    // A guarantee of 11.00 for the 46 hours, and a minimum of 12.00 for all 50: made up to 506.00 and then to 600.00.
    let terms = WageTerms { guarantee: Some(110_000), minimum: Some(120_000), overtime_after: None, ..terms };
    let week = wages(&terms, hours, (49_100, 3_200));
    let added: Vec<i64> = week.added.values().copied().collect();
    assert_eq!((added, week.minimum), (vec![1_500, 6_200, 0, 0], 60_000));
}
