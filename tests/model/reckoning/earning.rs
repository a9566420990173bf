//! What everybody has earned, worked out from the raw record every time anew.

use std::collections::{BTreeMap, BTreeSet};

use crate::facts::calendar::Day;
pub use crate::facts::money::Payee;
use crate::facts::record::{
    Party, Product, Rate, RateKind, Record, Rule, ShareBy, Species, Stick, Task, Ticket, Unit,
};
use crate::reckoning::division::{Fraction, fraction, nearest, part_of, shared};
use crate::reckoning::pricing::{Piece, is_paid, verdict};
use crate::reckoning::volume::{ONE, Scaled, scaled};
use crate::reckoning::working_together::{Done, parties};

/// How an amount falls to people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// By a crew's share set, named by its place in the record.
    Shared(usize),
    /// To one member, for his own time.
    Member(usize),
    Mill(usize),
}

/// What is rounded together: a week's work under one rate with one share set or mill. The parts are places in the
/// record, so that their order is the order of filing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    pub week: Day,
    pub contract: usize,
    pub terms: usize,
    pub rate: usize,
    pub side: Side,
}

/// How much, in millionths of the counted unit, and what it is worth.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Earned {
    pub quantity: i64,
    pub sticks: i64,
    pub cents: i64,
    /// Whether half a cent decided, before it was rounded.
    pub by_half: bool,
    /// Whether some turn counted for the least that a turn counts for.
    pub by_least: bool,
    pub shares: Vec<(Payee, i64)>,
    /// The members' parts, where they share by hours.
    pub parts_by_hours: Vec<(Payee, Fraction)>,
    pub tickets: BTreeSet<u32>,
    /// Places of time entries.
    pub time: BTreeSet<usize>,
    /// How much fell to each day.
    pub days: BTreeMap<Day, i64>,
}

/// A task that nothing pays for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Unpriced {
    pub day: Day,
    pub ticket: u32,
    pub task: Task,
    pub stick: Option<usize>,
    pub party: Party,
    pub why: &'static str,
}

/// The volume of one kind of timber under a contract on a day: sticks, culls, gross and
/// net, the last two in millionths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Scale {
    pub sticks: i64,
    pub culls: i64,
    pub gross: i64,
    pub net: i64,
}

/// The kind of timber, and whether it has a volume.
pub type Kind = (Product, Species, bool);

/// What the record comes to.
#[derive(Clone, Debug, Default)]
pub struct Reckoning {
    pub earned: BTreeMap<Key, Earned>,
    /// What holds up a week: decisions to set aside are taken off already.
    pub unpriced: BTreeSet<Unpriced>,
    /// Days on which a crew earned something and had not said how it shares.
    pub unshared: BTreeSet<Day>,
    /// Days on which a crew that shares by hours earned something, and nobody of it had hours.
    pub without_hours: BTreeSet<(Day, usize)>,
    /// Paid time that no rate pays for, by its place in the record.
    pub unpriced_time: BTreeSet<(Day, usize)>,
    pub scale: BTreeMap<(Day, usize, Kind), Scale>,
}

/// Reckons everything up.
pub fn reckon(record: &Record) -> Reckoning {
    let mut reckoning = Reckoning::default();
    for ticket in record.tickets.iter().filter(|ticket| !record.is_corrected(ticket.number)) {
        for (party, work) in parties(ticket) {
            reckoning.count(record, ticket, party, &work);
        }
    }
    reckoning.count_time(record);
    let mut without_hours = BTreeSet::new();
    for (key, earned) in &mut reckoning.earned {
        earned.price(record, *key);
        without_hours.extend(earned.share(record, *key));
    }
    reckoning.without_hours = without_hours;
    reckoning
}

/// What one ticket comes to under one rate.
#[derive(Clone, Debug, Default)]
struct Counted {
    quantity: i64,
    sticks: i64,
    /// Whether anything but unpaid cull is among it.
    any_paid: bool,
    by_least: bool,
}

impl Reckoning {
    fn count(&mut self, record: &Record, ticket: &Ticket, party: Party, work: &[Done]) {
        let contract = record.contract_with(party);
        let terms = contract.and_then(|contract| record.terms_on(contract, ticket.day));
        let (Some(contract), Some(terms)) = (contract, terms) else {
            for done in work {
                self.cannot_price(record, ticket, (party, done.task, None), "no_contract_or_terms");
            }
            return;
        };
        let side = match party {
            Party::Crew(crew) => record.shares_on(crew, ticket.day).map(Side::Shared),
            Party::Mill(mill) => Some(Side::Mill(mill)),
        };
        let (rule, rates) = (record.terms[terms].rule, &record.terms[terms].rates);
        let mut priced = BTreeSet::new();
        for done in work {
            for (rate, counted) in self.by_rate(record, ticket, (party, done), (rule, rates), &mut priced) {
                let Some(side) = side else {
                    self.unshared.insert(ticket.day);
                    continue;
                };
                let key = Key { week: ticket.day.week_end(), contract, terms, rate, side };
                let earned = self.earned.entry(key).or_default();
                earned.tickets.insert(ticket.number);
                earned.sticks += counted.sticks;
                earned.quantity += counted.quantity;
                *earned.days.entry(ticket.day).or_default() += counted.quantity;
                earned.by_least |= counted.by_least;
            }
        }
        self.add_to_scale(ticket, contract, rule, priced);
    }

    /// What a party did of one task, counted by rate.
    fn by_rate(
        &mut self,
        record: &Record,
        ticket: &Ticket,
        (party, done): (Party, &Done),
        (rule, rates): (Rule, &[Rate]),
        priced: &mut BTreeSet<usize>,
    ) -> BTreeMap<usize, Counted> {
        let mut counts: BTreeMap<usize, Counted> = BTreeMap::new();
        for (stick, part) in &done.sticks {
            let measured = ticket.sticks[*stick - 1];
            let piece = Piece { stick: measured, scaled: scaled(rule, measured), turn: ticket.turn };
            let verdict = verdict(rates, done.task, piece);
            for (whole_turn, why) in verdict.unpriced {
                let stick = if whole_turn { None } else { Some(*stick) };
                self.cannot_price(record, ticket, (party, done.task, stick), why);
            }
            for (rate, quantity) in verdict.counted {
                priced.insert(*stick);
                let counted = counts.entry(rate).or_default();
                counted.sticks += 1;
                counted.any_paid |= is_paid(&rates[rate], piece);
                // A turn is one turn, however many sticks are on it.
                if rates[rate].unit == Unit::Turn {
                    counted.quantity = part_of(ONE, &done.of_turn);
                } else {
                    counted.quantity += part_of(quantity, part);
                }
            }
        }
        for (rate, counted) in &mut counts {
            if let (Some(least), Some(_), true) = (rates[*rate].least_a_turn, ticket.turn, counted.any_paid) {
                let least = part_of(least, &done.of_turn);
                counted.by_least = counted.quantity < least;
                counted.quantity = counted.quantity.max(least);
            }
        }
        counts
    }

    fn cannot_price(
        &mut self,
        record: &Record,
        ticket: &Ticket,
        (party, task, stick): (Party, Task, Option<usize>),
        why: &'static str,
    ) {
        let decided = record.set_asides.iter().any(|aside| {
            aside.ticket == ticket.number
                && aside.task == task
                && (aside.stick.is_none() || aside.stick == stick)
        });
        if !decided {
            let (day, ticket) = (ticket.day, ticket.number);
            self.unpriced.insert(Unpriced { day, ticket, task, stick, party, why });
        }
    }

    fn add_to_scale(&mut self, ticket: &Ticket, contract: usize, rule: Rule, priced: BTreeSet<usize>) {
        for stick in priced {
            let stick: Stick = ticket.sticks[stick - 1];
            let as_scaled: Option<Scaled> = scaled(rule, stick);
            let volume = as_scaled.and_then(|scaled| scaled.board_feet);
            let kind = (stick.product(), stick.species(), volume.is_some());
            let scale = self.scale.entry((ticket.day, contract, kind)).or_default();
            scale.sticks += 1;
            scale.culls += i64::from(as_scaled.is_some_and(|scaled| scaled.is_cull));
            let (gross, net) = volume.unwrap_or_default();
            scale.gross += gross;
            scale.net += net;
        }
    }
}

impl Earned {
    /// Quantity × price ÷ unit, rounded once.
    fn price(&mut self, record: &Record, key: Key) {
        let rate = &record.terms[key.terms].rates[key.rate];
        let counted_per_unit = match rate.unit {
            Unit::ThousandGross | Unit::ThousandNet => 1000,
            Unit::Piece | Unit::LinearFoot | Unit::Turn | Unit::Hour | Unit::Day => 1,
        };
        // Millionths, and ten-thousandths of a dollar, which are hundredths of a cent.
        let price = if rate.kind == RateKind::Dockage { -rate.price } else { rate.price };
        let exact =
            fraction(i128::from(self.quantity) * i128::from(price), i128::from(ONE) * 100 * counted_per_unit);
        self.cents = nearest(&exact);
        self.by_half = *exact.denom() == 2.into();
    }

    /// Divides what was priced; answers with the days on which nobody had the hours to share by.
    fn share(&mut self, record: &Record, key: Key) -> Vec<(Day, usize)> {
        let set = match key.side {
            Side::Mill(mill) => {
                self.shares = vec![(Payee::Mill(mill), self.cents)];
                return Vec::new();
            }
            Side::Member(worker) => {
                self.shares = vec![(Payee::Worker(worker), self.cents)];
                return Vec::new();
            }
            Side::Shared(set) => &record.share_sets[set],
        };
        let workers: Vec<usize> = set.shares.iter().map(|(worker, _)| *worker).collect();
        let parts = match set.by {
            ShareBy::Parts => set.shares.iter().map(|(_, parts)| fraction((*parts).into(), 1)).collect(),
            ShareBy::Equally => vec![fraction(1, 1); workers.len()],
            ShareBy::Hours => match parts_by_hours(record, &workers, &self.days) {
                Ok(parts) => parts,
                Err(days) => return days.into_iter().map(|day| (day, set.crew)).collect(),
            },
        };
        let payees = || workers.iter().map(|worker| Payee::Worker(*worker));
        self.shares = payees().zip(shared(self.cents, &parts)).collect();
        if set.by == ShareBy::Hours {
            self.parts_by_hours = payees().zip(parts).collect();
        }
        Vec::new()
    }
}

/// Each day's count falls to the members by their hours of piece work that day; where nothing was counted, all are
/// alike. Days on which nobody had any are the error.
fn parts_by_hours(
    record: &Record,
    workers: &[usize],
    days: &BTreeMap<Day, i64>,
) -> Result<Vec<Fraction>, Vec<Day>> {
    let mut parts = vec![fraction(0, 1); workers.len()];
    let mut without = Vec::new();
    for (day, quantity) in days.iter().filter(|(_, quantity)| **quantity != 0) {
        let on_day = workers.iter().map(|worker| record.hours(*worker, *day, *day).piece_work);
        let hours: Vec<i64> = on_day.collect();
        let all: i64 = hours.iter().sum();
        if all == 0 {
            without.push(*day);
            continue;
        }
        for (part, own) in parts.iter_mut().zip(hours) {
            // Millionths of what was counted.
            *part += fraction(i128::from(own) * i128::from(*quantity), i128::from(all) * i128::from(ONE));
        }
    }
    if !without.is_empty() {
        return Err(without);
    }
    let nothing = parts.iter().all(|part| *part == fraction(0, 1));
    Ok(if nothing { vec![fraction(1, 1); workers.len()] } else { parts })
}
