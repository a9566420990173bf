//! The terms that these histories file: a few knobs to each kind of contract.

use proptest::prelude::*;

use crate::calendar::Day;
use crate::record::{NO_END, Party, Product, Rate, Rule, Species, Task, Terms, Unit};

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
    /// Whether poles are paid too.
    pub poles: bool,
    pub says_of_cull: Option<bool>,
}

pub fn knobs() -> impl Strategy<Value = Knobs> {
    // Eighths of a dollar make exact half cents, the middle makes the rounding work, the least may come to nothing.
    let eighths = || (1..=32_i64).prop_map(|eighths| eighths * 12_500);
    let price = || prop_oneof![4 => eighths(), 4 => 1..400_000_i64, 2 => 0..100_i64];
    let cut = prop_oneof![Just(None), Just(Some(12)), Just(Some(16))];
    let rare = prop::bool::weighted(0.2);
    (price(), price(), any::<bool>(), cut, rare, prop::bool::weighted(0.8), any::<Option<bool>>()).prop_map(
        |(price, other_price, net, cut, gap, poles, says_of_cull)| Knobs {
            price,
            other_price,
            net,
            cut,
            gap,
            poles,
            says_of_cull,
        },
    )
}

/// A rate that covers every stick; the others are made from it.
fn rate(name: &'static str, task: Task, unit: Unit, price: i64) -> Rate {
    let product = (unit != Unit::Turn).then_some(Product::Log);
    let (says_of_cull, species, diameter, skidded) = (None, None, None, None);
    Rate { name, task, product, unit, price, says_of_cull, species, diameter, skidded }
}

/// Terms for the contract with a party.
pub fn terms(contract: usize, party: Party, from: Day, knobs: Knobs) -> Terms {
    let rule = if party == Party::Crew(1) { Rule::DecimalC } else { Rule::Doyle };
    let mut rates = match party {
        Party::Crew(0 | 1 | 4) => felling(knobs),
        Party::Crew(2) => skidding(knobs),
        Party::Crew(_) => peeling(knobs),
        Party::Mill(_) => delivery(knobs),
    };
    for rate in rates.iter_mut().filter(|rate| rate.unit != Unit::Turn) {
        rate.says_of_cull = knobs.says_of_cull;
    }
    Terms { contract, from, rule, rates }
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
    rates.push(rate("bucking logs", Task::Bucking, Unit::Piece, knobs.price / 100));
    if knobs.poles {
        let poles = rate("felling poles", Task::Felling, Unit::LinearFoot, knobs.other_price / 200);
        rates.push(Rate { product: Some(Product::Pole), ..poles });
        let poles = rate("bucking poles", Task::Bucking, Unit::Piece, knobs.other_price / 100);
        rates.push(Rate { product: Some(Product::Pole), ..poles });
    }
    rates
}

fn skidding(knobs: Knobs) -> Vec<Rate> {
    let turns = |name, price, skidded| Rate { skidded, ..rate(name, Task::Skidding, Unit::Turn, price / 10) };
    match knobs.cut {
        None => vec![turns("turns", knobs.price, None)],
        Some(cut) => {
            let (near, far) = (cut * 25, if knobs.gap { cut * 25 + 100 } else { cut * 25 });
            vec![
                turns("turns from near", knobs.price, Some((0, near))),
                turns("turns from far", knobs.other_price, Some((far, NO_END))),
            ]
        }
    }
}

fn peeling(knobs: Knobs) -> Vec<Rate> {
    let mut rates = vec![rate("peeling logs", Task::Peeling, Unit::LinearFoot, knobs.price / 200)];
    if knobs.poles {
        let poles = rate("peeling poles", Task::Peeling, Unit::LinearFoot, knobs.other_price / 200);
        rates.push(Rate { product: Some(Product::Pole), ..poles });
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
    if knobs.poles {
        let poles = rate("poles", Task::Delivery, Unit::Piece, knobs.price / 10);
        rates.push(Rate { product: Some(Product::Pole), ..poles });
    }
    rates
}
