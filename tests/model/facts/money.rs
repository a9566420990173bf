//! Money that was filed beside the work: charges, advances, payments, holdback let go, and what was taken back of it.

use crate::facts::calendar::Day;

/// Who is paid, or who pays.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Payee {
    Worker(usize),
    Mill(usize),
}

/// What a worker is charged for. Amounts are cents; records are named by their places.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Charge {
    pub worker: usize,
    pub dated: Day,
    /// Board, which alone may cut into the minimum, or tools.
    pub is_board: bool,
    pub cents: i64,
    pub most_a_week: Option<i64>,
    pub cuts_into_minimum: bool,
}

/// How an advance is recovered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recovery {
    Whole,
    MostAWeek(i64),
    /// A part of the pay, in hundredths of a percent.
    PartOfPay(i64),
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advance {
    pub worker: usize,
    pub dated: Day,
    pub cents: i64,
    pub recovery: Recovery,
}

/// What a contract holds back, in hundredths of a percent, and how much at the most, in cents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Holdback {
    pub percent: i64,
    pub cap: Option<i64>,
}

/// Money handed to a worker, or by a mill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payment {
    pub payee: Payee,
    pub dated: Day,
    pub cents: i64,
}

/// Holdback let go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    pub worker: usize,
    pub contract: usize,
    pub dated: Day,
    pub cents: i64,
}

/// A record that can be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoneyRecord {
    Charge(usize),
    Advance(usize),
    Payment(usize),
    Release(usize),
}

/// Everything of it.
#[derive(Clone, Debug, Default)]
pub struct MoneyBook {
    pub charges: Vec<Charge>,
    pub advances: Vec<Advance>,
    pub payments: Vec<Payment>,
    pub releases: Vec<Release>,
    pub reversed: Vec<MoneyRecord>,
}

impl MoneyBook {
    /// Every record, in order of kind.
    pub fn records(&self) -> Vec<MoneyRecord> {
        let charges = (0..self.charges.len()).map(MoneyRecord::Charge);
        let advances = (0..self.advances.len()).map(MoneyRecord::Advance);
        let payments = (0..self.payments.len()).map(MoneyRecord::Payment);
        let releases = (0..self.releases.len()).map(MoneyRecord::Release);
        charges.chain(advances).chain(payments).chain(releases).collect()
    }

    /// What a record is good for: nothing once it was taken back.
    pub fn stands_at(&self, record: MoneyRecord) -> i64 {
        if self.reversed.contains(&record) {
            return 0;
        }
        match record {
            MoneyRecord::Charge(place) => self.charges[place].cents,
            MoneyRecord::Advance(place) => self.advances[place].cents,
            MoneyRecord::Payment(place) => self.payments[place].cents,
            MoneyRecord::Release(place) => self.releases[place].cents,
        }
    }

    /// What came to a payee's account beside the settlements, and went from it.
    pub fn moved(&self, payee: Payee) -> i64 {
        let mut moved = 0;
        for (place, payment) in self.payments.iter().enumerate() {
            if payment.payee == payee {
                moved -= self.stands_at(MoneyRecord::Payment(place));
            }
        }
        for (place, release) in self.releases.iter().enumerate() {
            if Payee::Worker(release.worker) == payee {
                moved += self.stands_at(MoneyRecord::Release(place));
            }
        }
        moved
    }

    /// What was let go of a worker's holdback under a contract.
    pub fn let_go(&self, worker: usize, contract: usize) -> i64 {
        let releases = self.releases.iter().enumerate();
        let own = releases.filter(|(_, one)| (one.worker, one.contract) == (worker, contract));
        own.map(|(place, _)| self.stands_at(MoneyRecord::Release(place))).sum()
    }
}
