//! The terms that these histories file: a few knobs to each kind of contract.

use proptest::prelude::*;

use crate::facts::calendar::Day;
use crate::facts::money::Holdback;
use crate::facts::record::{NO_END, Party, Product, Rate, RateKind, Rule, Species, Task, Terms, Unit};
use crate::reckoning::volume::ONE;

/// What can be different from one filing to the next.
#[derive(Clone, Copy, Debug)]
pub struct Knobs {
    /// In ten-thousandths of a dollar a thousand; other units are paid by a fraction of it.
    pub price: i64,
    /// Of the second band.
    pub other_price: i64,
    pub net: bool,
    /// Where the first band ends and the second begins: inches; a distance is this many times 25 feet.
    pub cut: Option<i64>,
    /// Whether something falls between the bands, or is left out.
    pub gap: bool,
    /// Whether poles and ties are paid too.
    pub others: bool,
    pub says_of_cull: Option<bool>,
    /// Which premiums and dockages there are: by grade, by size, for cull.
    pub on_top: (bool, bool, bool),
    /// Whether time is paid, and then by the hour or by the day.
    pub by_time: Option<bool>,
    /// What is held back of a crew's pay.
    pub holdback: Option<Holdback>,
}

pub fn knobs() -> BoxedStrategy<Knobs> {
    // Eighths of a dollar make exact half cents, the middle makes the rounding work, the least may come to nothing.
    let eighths = || (1..=32_i64).prop_map(|eighths| eighths * 12_500);
    let price = || prop_oneof![4 => eighths(), 4 => 1..400_000_i64, 2 => 0..100_i64];
    let cut = prop_oneof![Just(None), Just(Some(12)), Just(Some(16))];
    let rare = prop::bool::weighted(0.3);
    let others = prop::bool::weighted(0.8);
    let by_time = prop::option::weighted(0.92, any::<bool>());
    let paid = (any::<(bool, bool, bool)>(), by_time, prop::option::weighted(0.4, holdback()));
    (price(), price(), any::<bool>(), cut, rare, others, any::<Option<bool>>(), paid)
        .prop_map(|(price, other_price, net, cut, gap, others, says_of_cull, (on_top, by_time, holdback))| {
            Knobs { price, other_price, net, cut, gap, others, says_of_cull, on_top, by_time, holdback }
        })
        .boxed()
}

fn holdback() -> impl Strategy<Value = Holdback> {
    (1..4000_i64, prop::option::weighted(0.6, 1..100_i64))
        .prop_map(|(percent, cap)| Holdback { percent, cap })
}

/// A rate that covers every stick; the others are made from it.
fn rate(name: &'static str, task: Task, unit: Unit, price: i64) -> Rate {
    let product = (unit != Unit::Turn && !unit.is_time()).then_some(Product::Log);
    let (says_of_cull, least_a_turn, species, diameter, skidded, cull) = (None, None, None, None, None, None);
    let (kind, grades) = (RateKind::Price, &[][..]);
    Rate {
        name,
        kind,
        task,
        product,
        unit,
        price,
        says_of_cull,
        least_a_turn,
        species,
        grades,
        cull,
        diameter,
        skidded,
    }
}

/// The same for another product.
fn of(product: Product, rate: Rate) -> Rate {
    Rate { product: Some(product), ..rate }
}

fn premium(rate: Rate) -> Rate {
    Rate { kind: RateKind::Premium, ..rate }
}

fn dockage(rate: Rate) -> Rate {
    Rate { kind: RateKind::Dockage, ..rate }
}

/// Terms for the contract with a party.
pub fn terms(contract: usize, party: Party, from: Day, knobs: Knobs) -> Terms {
    let rule = if party == Party::Crew(1) { Rule::DecimalC } else { Rule::Doyle };
    let mut rates = match party {
        Party::Crew(0 | 1 | 4) => felling(knobs),
        Party::Crew(2) => skidding(knobs),
        // The peelers lend the team a hand.
        Party::Crew(_) => [peeling(knobs), skidding(knobs)].concat(),
        Party::Mill(_) => delivery(knobs),
    };
    // A turn cannot leave out its cull, nor a rate for cull the cull.
    if let (Party::Crew(_), Some(hourly)) = (party, knobs.by_time) {
        rates.extend(time(knobs, hourly));
    }
    for rate in rates.iter_mut().filter(|rate| rate.product.is_some() && rate.cull != Some(true)) {
        rate.says_of_cull = knobs.says_of_cull;
    }
    let holdback = if matches!(party, Party::Crew(_)) { knobs.holdback } else { None };
    Terms { contract, from, rule, rates, holdback }
}

fn felling(knobs: Knobs) -> Vec<Rate> {
    let unit = if knobs.net { Unit::ThousandNet } else { Unit::ThousandGross };
    let logs = |name, price, diameter| Rate { diameter, ..rate(name, Task::Felling, unit, price) };
    let mut rates = match knobs.cut {
        None => vec![logs("felling logs", knobs.price, None)],
        Some(cut) => {
            let second = if knobs.gap { cut + 2 } else { cut };
            vec![
                logs("felling small logs", knobs.price, Some((0, cut))),
                logs("felling large logs", knobs.other_price, Some((second, NO_END))),
            ]
        }
    };
    let pieces = |name, task, price| rate(name, task, Unit::Piece, price);
    rates.push(pieces("bucking logs", Task::Bucking, knobs.price / 100));
    if knobs.others {
        let poles = rate("felling poles", Task::Felling, Unit::LinearFoot, knobs.other_price / 200);
        rates.push(of(Product::Pole, poles));
        rates.push(of(Product::Pole, pieces("bucking poles", Task::Bucking, knobs.other_price / 100)));
        rates.push(of(Product::Tie, pieces("bucking ties", Task::Bucking, knobs.price / 300)));
        rates.extend(ties(knobs));
    }
    let (by_grade, by_size, for_cull) = knobs.on_top;
    if by_grade {
        let price = knobs.other_price / 7;
        let first = premium(rate("first grade", Task::Felling, unit, price));
        rates.push(Rate { grades: &["1"], ..first });
        let second = dockage(rate("second grade", Task::Felling, unit, price));
        rates.push(Rate { grades: &["2"], ..second });
    }
    if by_size {
        let large = premium(pieces("bucking large logs", Task::Bucking, knobs.price / 150));
        rates.push(Rate { diameter: Some((16, NO_END)), ..large });
        rates.push(premium(rate(
            "bucking by the foot of board",
            Task::Bucking,
            Unit::ThousandNet,
            knobs.price / 9,
        )));
    }
    if for_cull {
        let cull = dockage(pieces("felling cull", Task::Felling, knobs.other_price / 90));
        rates.push(Rate { cull: Some(true), ..cull });
        let sound = premium(pieces("bucking sound logs", Task::Bucking, knobs.other_price / 333));
        rates.push(Rate { cull: Some(false), ..sound });
    }
    rates
}

/// Ties by class, the refused ones apart; with a gap those without a class are not thought of.
fn ties(knobs: Knobs) -> Vec<Rate> {
    let cull = (!knobs.gap).then_some(false);
    let ties = |name, price, grades: &'static [&'static str]| {
        let ties = of(Product::Tie, rate(name, Task::Felling, Unit::Piece, price));
        Rate { grades, cull, ..ties }
    };
    let mut rates = vec![
        ties("thick ties", knobs.price / 50, &["A", "B", "C"]),
        ties("thin ties", knobs.other_price / 50, &["D", "E"]),
    ];
    if !knobs.gap {
        rates.push(Rate { cull: Some(true), ..ties("refused ties", knobs.price / 400, &[]) });
    }
    if knobs.on_top.0 {
        let wide = premium(ties("the best ties", knobs.other_price / 700, &["A"]));
        rates.push(Rate { unit: Unit::ThousandGross, cull: None, ..wide });
    }
    rates
}

fn skidding(knobs: Knobs) -> Vec<Rate> {
    let turns = |name, price, skidded| Rate { skidded, ..rate(name, Task::Skidding, Unit::Turn, price / 10) };
    let by_volume = rate("skidding logs", Task::Skidding, Unit::ThousandGross, knobs.price);
    let mut rates = match knobs.cut {
        None if knobs.net => vec![Rate { least_a_turn: Some(100 * ONE), ..by_volume }],
        None => vec![turns("turns", knobs.price, None)],
        Some(cut) => {
            let (near, far) = (cut * 25, if knobs.gap { cut * 25 + 100 } else { cut * 25 });
            vec![
                turns("turns from near", knobs.price, Some((0, near))),
                turns("turns from far", knobs.other_price, Some((far, NO_END))),
            ]
        }
    };
    let (_, by_size, for_cull) = knobs.on_top;
    if by_size {
        rates.push(premium(turns("turns from very far", knobs.price / 3, Some((600, NO_END)))));
    }
    if for_cull {
        let cull = dockage(rate("skidding cull", Task::Skidding, Unit::Piece, knobs.price / 200));
        rates.push(Rate { cull: Some(true), ..cull });
    }
    rates
}

/// Time of every task, one of them always by the hour.
fn time(knobs: Knobs, hourly: bool) -> Vec<Rate> {
    let unit = if hourly { Unit::Hour } else { Unit::Day };
    vec![
        rate("felling by time", Task::Felling, unit, knobs.price / 8),
        rate("bucking by the hour", Task::Bucking, Unit::Hour, knobs.other_price / 8),
        rate("skidding by time", Task::Skidding, unit, knobs.other_price / 4),
        rate("peeling by time", Task::Peeling, unit, knobs.price / 9),
    ]
}

fn peeling(knobs: Knobs) -> Vec<Rate> {
    let peeling = |name, unit, price| rate(name, Task::Peeling, unit, price);
    let mut rates = vec![peeling("peeling logs", Unit::LinearFoot, knobs.price / 200)];
    if knobs.others {
        rates.push(of(Product::Pole, peeling("peeling poles", Unit::LinearFoot, knobs.other_price / 200)));
        rates.push(of(Product::Tie, peeling("peeling ties", Unit::LinearFoot, knobs.other_price / 300)));
    }
    rates
}

fn delivery(knobs: Knobs) -> Vec<Rate> {
    let unit = if knobs.net { Unit::ThousandNet } else { Unit::ThousandGross };
    let logs = |name, price, kind| Rate { species: Some(kind), ..rate(name, Task::Delivery, unit, price) };
    let mut rates = vec![logs("pine", knobs.price, Species::Pine)];
    if !knobs.gap {
        rates.push(logs("hemlock", knobs.other_price, Species::Hemlock));
    }
    if knobs.others {
        rates.push(of(Product::Pole, rate("poles", Task::Delivery, Unit::Piece, knobs.price / 10)));
        rates.push(of(Product::Tie, rate("ties", Task::Delivery, unit, knobs.other_price)));
    }
    let (by_grade, _, for_cull) = knobs.on_top;
    if by_grade {
        let first = premium(rate("first grade", Task::Delivery, Unit::ThousandNet, knobs.price / 5));
        rates.push(Rate { grades: &["1"], species: Some(Species::Pine), ..first });
    }
    if for_cull {
        let cull = dockage(rate("cull delivered", Task::Delivery, Unit::Piece, knobs.price / 60));
        rates.push(Rate { cull: Some(true), ..cull });
    }
    rates
}
