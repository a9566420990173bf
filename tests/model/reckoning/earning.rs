//! What everybody has earned, worked out from the raw record every time anew.

use std::collections::{BTreeMap, BTreeSet};

use crate::facts::calendar::Day;
use crate::facts::record::{
    Party, Product, Rate, RateKind, Record, Rule, Species, Stick, Task, Ticket, Unit,
};
use crate::reckoning::division::{nearest, shared};
use crate::reckoning::pricing::{Piece, verdict};
use crate::reckoning::volume::{ONE, Scaled, scaled};

/// Who is paid, or who pays.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Payee {
    Worker(usize),
    Mill(usize),
}

/// How an amount falls to people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// By a crew's share set, named by its place in the record.
    Shared(usize),
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
    pub shares: Vec<(Payee, i64)>,
    pub tickets: BTreeSet<u32>,
}

/// A task that nothing pays for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Unpriced {
    pub day: Day,
    pub ticket: u32,
    pub task: Task,
    pub stick: Option<usize>,
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

/// Tasks, and the sticks that each was done to.
type Done = Vec<(Task, Vec<usize>)>;

/// What the record comes to.
#[derive(Clone, Debug, Default)]
pub struct Reckoning {
    pub earned: BTreeMap<Key, Earned>,
    /// What holds up a week: decisions to set aside are taken off already.
    pub unpriced: BTreeSet<Unpriced>,
    /// Days on which a crew earned something and had not said how it shares.
    pub unshared: BTreeSet<Day>,
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
    for (key, earned) in &mut reckoning.earned {
        earned.price(record, *key);
    }
    reckoning
}

/// Who did what to which sticks; delivering them is the mill's.
fn parties(ticket: &Ticket) -> Vec<(Party, Done)> {
    let mut parties: Vec<(Party, Done)> = Vec::new();
    let delivered = ticket
        .mill
        .map(|mill| (Party::Mill(mill), Task::Delivery, (1..=ticket.sticks.len()).collect::<Vec<_>>()));
    let by_crews = ticket.work.iter().map(|work| (Party::Crew(work.crew), work.task, work.sticks.clone()));
    for (party, task, sticks) in by_crews.chain(delivered).filter(|(.., sticks)| !sticks.is_empty()) {
        match parties.iter_mut().find(|(known, _)| *known == party) {
            Some((_, work)) => work.push((task, sticks)),
            None => parties.push((party, vec![(task, sticks)])),
        }
    }
    parties
}

impl Reckoning {
    fn count(&mut self, record: &Record, ticket: &Ticket, party: Party, work: &Done) {
        let contract = record.contract_with(party);
        let terms = contract.and_then(|contract| record.terms_on(contract, ticket.day));
        let (Some(contract), Some(terms)) = (contract, terms) else {
            for (task, _) in work {
                self.cannot_price(record, ticket, *task, None, "no_contract_or_terms");
            }
            return;
        };
        let side = match party {
            Party::Crew(crew) => record.shares_on(crew, ticket.day).map(Side::Shared),
            Party::Mill(mill) => Some(Side::Mill(mill)),
        };
        let (rule, rates) = (record.terms[terms].rule, &record.terms[terms].rates);
        let mut priced = BTreeSet::new();
        for (task, sticks) in work {
            for stick in sticks {
                let measured = ticket.sticks[*stick - 1];
                let piece = Piece { stick: measured, scaled: scaled(rule, measured), turn: ticket.turn };
                let verdict = verdict(rates, *task, piece);
                for (whole_turn, why) in verdict.unpriced {
                    let stick = if whole_turn { None } else { Some(*stick) };
                    self.cannot_price(record, ticket, *task, stick, why);
                }
                for (rate, quantity) in verdict.counted {
                    priced.insert(*stick);
                    match side {
                        None => {
                            self.unshared.insert(ticket.day);
                        }
                        Some(side) => {
                            let key = Key { week: ticket.day.week_end(), contract, terms, rate, side };
                            self.add(key, ticket, &rates[rate], quantity);
                        }
                    }
                }
            }
        }
        self.add_to_scale(ticket, contract, rule, priced);
    }

    fn add(&mut self, key: Key, ticket: &Ticket, rate: &Rate, quantity: i64) {
        let earned = self.earned.entry(key).or_default();
        let is_new = earned.tickets.insert(ticket.number);
        earned.sticks += 1;
        // A turn is one turn, however many sticks are on it.
        if rate.unit != Unit::Turn || is_new {
            earned.quantity += quantity;
        }
    }

    fn cannot_price(
        &mut self,
        record: &Record,
        ticket: &Ticket,
        task: Task,
        stick: Option<usize>,
        why: &'static str,
    ) {
        let decided = record.set_asides.iter().any(|aside| {
            aside.ticket == ticket.number
                && aside.task == task
                && (aside.stick.is_none() || aside.stick == stick)
        });
        if !decided {
            self.unpriced.insert(Unpriced { day: ticket.day, ticket: ticket.number, task, stick, why });
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
    /// Quantity × price ÷ unit, rounded once, then divided.
    fn price(&mut self, record: &Record, key: Key) {
        let rate = &record.terms[key.terms].rates[key.rate];
        let counted_per_unit = match rate.unit {
            Unit::ThousandGross | Unit::ThousandNet => 1000,
            Unit::Piece | Unit::LinearFoot | Unit::Turn => 1,
        };
        // Millionths, and ten-thousandths of a dollar, which are hundredths of a cent.
        let exact = i128::from(self.quantity) * i128::from(rate.price);
        let unit = i128::from(ONE) * 100 * counted_per_unit;
        let cents = i64::try_from(nearest(exact, unit)).expect("wages are not that large");
        self.cents = if rate.kind == RateKind::Dockage { -cents } else { cents };
        self.by_half = exact % unit * 2 == unit;
        self.shares = match key.side {
            Side::Mill(mill) => vec![(Payee::Mill(mill), self.cents)],
            Side::Shared(set) => {
                let members = &record.share_sets[set].shares;
                let parts: Vec<i64> = members.iter().map(|(_, parts)| *parts).collect();
                let payees = members.iter().map(|(worker, _)| Payee::Worker(*worker));
                payees.zip(shared(self.cents, &parts)).collect()
            }
        };
    }
}
