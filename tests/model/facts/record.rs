//! What was accepted, as plain facts: the only thing the model knows.

use crate::facts::calendar::Day;
use crate::facts::hours::TimeEntry;
use crate::facts::money::{Holdback, MoneyBook};
use crate::facts::wage_terms::WageTerms;

/// The kinds of tree in these histories.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Species {
    Pine,
    Hemlock,
}

/// A grade, by its name.
pub type Grade = &'static str;

/// A stick as measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stick {
    /// A log: whole inches, whole feet, the feet given up for defect (0 for a sound one), and its grade, if it was given
    /// one.
    Log { species: Species, diameter: i64, length: i64, cut: i64, grade: Option<Grade> },
    /// A pole, in half feet.
    Pole { species: Species, half_feet: i64 },
    /// A tie of 8 feet, in whole inches; perhaps refused by an inspector. Its grade is its class by size.
    Tie { species: Species, width: i64, thickness: i64, refused: bool },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Product {
    Log,
    Pole,
    Tie,
}

impl Stick {
    pub fn product(self) -> Product {
        match self {
            Self::Log { .. } => Product::Log,
            Self::Pole { .. } => Product::Pole,
            Self::Tie { .. } => Product::Tie,
        }
    }

    pub fn species(self) -> Species {
        match self {
            Self::Log { species, .. } | Self::Pole { species, .. } | Self::Tie { species, .. } => species,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    Felling,
    Bucking,
    Peeling,
    Skidding,
    Delivery,
}

impl Task {
    pub const ALL: [Self; 5] = [Self::Felling, Self::Bucking, Self::Peeling, Self::Skidding, Self::Delivery];

    pub fn name(self) -> &'static str {
        match self {
            Self::Felling => "felling",
            Self::Bucking => "bucking",
            Self::Peeling => "peeling",
            Self::Skidding => "skidding",
            Self::Delivery => "delivery",
        }
    }
}

/// The other side of a contract, by its place among the crews or the mills.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Party {
    Crew(usize),
    Mill(usize),
}

/// Which crew did a task, to which sticks (numbered from 1).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    pub task: Task,
    pub crew: usize,
    pub sticks: Vec<usize>,
    /// Whether these are all the sticks that nobody else did the task to, so that they need not be spelled out.
    pub is_rest: bool,
    /// The crew's parts of what it worked together with others, in thousandths.
    pub parts: Option<i64>,
}

/// A scale ticket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticket {
    pub number: u32,
    pub day: Day,
    pub work: Vec<Work>,
    /// The turn, if it was one, and how many feet it was skidded, if that was written down.
    pub turn: Option<Option<i64>>,
    pub mill: Option<usize>,
    pub sticks: Vec<Stick>,
    /// The number of the ticket whose place it takes.
    pub corrects: Option<u32>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    Doyle,
    DecimalC,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    ThousandGross,
    ThousandNet,
    Piece,
    LinearFoot,
    Turn,
    Hour,
    Day,
}

impl Unit {
    pub fn is_time(self) -> bool {
        matches!(self, Self::Hour | Self::Day)
    }
}

/// Whether a rate sets a price, adds to one, or takes off from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateKind {
    Price,
    Premium,
    Dockage,
}

/// A rate. A band runs from its first figure up to, but not including, its second.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rate {
    pub name: &'static str,
    pub kind: RateKind,
    pub task: Task,
    pub product: Option<Product>,
    pub unit: Unit,
    /// In ten-thousandths of a dollar.
    pub price: i64,
    /// Whether cull is paid, where the terms say so one way or the other.
    pub says_of_cull: Option<bool>,
    /// What a turn counts for at the least, in millionths of the counted unit.
    pub least_a_turn: Option<i64>,
    pub species: Option<Species>,
    /// The grades that it is for; none stands for all, and for what has none.
    pub grades: &'static [Grade],
    /// Whether it is for cull alone, or for what is sound alone.
    pub cull: Option<bool>,
    pub diameter: Option<(i64, i64)>,
    pub skidded: Option<(i64, i64)>,
}

/// The end of a band that has none.
pub const NO_END: i64 = 1_000_000;

/// What a contract says from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Terms {
    /// The contract's place among the contracts.
    pub contract: usize,
    pub from: Day,
    pub rule: Rule,
    pub rates: Vec<Rate>,
    pub holdback: Option<Holdback>,
}

/// By what a crew shares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShareBy {
    Parts,
    Equally,
    Hours,
}

/// How a crew shares from a day on: worker and parts, in thousandths, which are looked at only where it shares by parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShareSet {
    pub crew: usize,
    pub from: Day,
    pub by: ShareBy,
    pub shares: Vec<(usize, i64)>,
}

/// A decision that a task on a ticket is not paid by the piece; of one stick or of all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    pub ticket: u32,
    pub task: Task,
    pub stick: Option<usize>,
}

/// Everything accepted so far, each list in the order of acceptance.
#[derive(Clone, Debug, Default)]
pub struct Record {
    pub contracts: Vec<Party>,
    pub terms: Vec<Terms>,
    pub share_sets: Vec<ShareSet>,
    pub tickets: Vec<Ticket>,
    pub set_asides: Vec<SetAside>,
    pub time: Vec<TimeEntry>,
    pub wage_terms: Vec<WageTerms>,
    pub money: MoneyBook,
}

impl Record {
    pub fn ticket(&self, number: u32) -> Option<&Ticket> {
        self.tickets.iter().find(|ticket| ticket.number == number)
    }

    /// Whether another ticket has taken this one's place.
    pub fn is_corrected(&self, number: u32) -> bool {
        self.tickets.iter().any(|ticket| ticket.corrects == Some(number))
    }

    /// The contract with a party, by its place.
    pub fn contract_with(&self, party: Party) -> Option<usize> {
        self.contracts.iter().position(|with| *with == party)
    }

    /// The terms of a contract on a day, by their place: the latest to begin, and of two for one day the later filed.
    pub fn terms_on(&self, contract: usize, day: Day) -> Option<usize> {
        let places = 0..self.terms.len();
        places
            .filter(|place| self.terms[*place].contract == contract && self.terms[*place].from <= day)
            .max_by_key(|place| (self.terms[*place].from, *place))
    }

    /// How a crew shares on a day, by the same rule.
    pub fn shares_on(&self, crew: usize, day: Day) -> Option<usize> {
        let places = 0..self.share_sets.len();
        places
            .filter(|place| self.share_sets[*place].crew == crew && self.share_sets[*place].from <= day)
            .max_by_key(|place| (self.share_sets[*place].from, *place))
    }
}
