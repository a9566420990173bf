//! Which rates pay for a stick, and how much it counts for under each.

use crate::facts::record::{Rate, RateKind, Stick, Task, Unit};
use crate::reckoning::volume::{ONE, Scaled};

/// A stick that a task was done to, as one contract sees it.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    pub stick: Stick,
    /// None where the rule does not reach it.
    pub scaled: Option<Scaled>,
    /// The ticket's turn, if it was one, and its distance, if that was written down.
    pub turn: Option<Option<i64>>,
}

/// What the rates make of a piece.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verdict {
    /// Places of rates in the terms, each with the quantity in millionths of the counted unit.
    pub counted: Vec<(usize, i64)>,
    /// What nothing pays for: whether it is the turn as a whole, and why.
    pub unpriced: Vec<(bool, &'static str)>,
}

/// Whether a rate is for a piece.
#[derive(PartialEq, Eq)]
enum Fit {
    Yes,
    No,
    /// It would be, if something that was not measured were known and fell right.
    Perhaps(&'static str),
}

/// What the rates make of a piece: the one price that fits, and on top of it whatever premium and dockage fit.
pub fn verdict(rates: &[Rate], task: Task, piece: Piece) -> Verdict {
    let mut verdict = Verdict::default();
    let of_task = || rates.iter().enumerate().filter(|(_, rate)| rate.task == task && !rate.unit.is_time());
    let mut missed = (false, "no_rate");
    let mut price = None;
    for (place, rate) in of_task().filter(|(_, rate)| rate.kind == RateKind::Price) {
        match fit(rate, piece) {
            Fit::Yes => price = price.or(Some((place, rate))),
            Fit::Perhaps(why) if rate.unit == Unit::Turn => missed = (true, why),
            Fit::Perhaps(why) if missed.1 == "no_rate" => missed = (false, why),
            Fit::Perhaps(_) | Fit::No => {}
        }
    }
    let Some((place, rate)) = price else {
        verdict.unpriced.push(missed);
        return verdict;
    };
    match quantity(rate, piece) {
        Ok(quantity) => verdict.counted.push((place, quantity)),
        Err(why) => {
            verdict.unpriced.push((false, why));
            return verdict;
        }
    }
    for (place, rate) in of_task().filter(|(_, rate)| rate.kind != RateKind::Price) {
        match fit(rate, piece) {
            Fit::No => {}
            // A premium by grade is for what bears the grade: what bears none lacks nothing.
            Fit::Perhaps("no_grade") => {}
            Fit::Perhaps(why) => verdict.unpriced.push((rate.unit == Unit::Turn, why)),
            Fit::Yes => match quantity(rate, piece) {
                Ok(quantity) => verdict.counted.push((place, quantity)),
                Err(why) => verdict.unpriced.push((false, why)),
            },
        }
    }
    verdict
}

/// One thing known to be wrong settles it; otherwise the first thing that is not known does.
fn fit(rate: &Rate, piece: Piece) -> Fit {
    if rate.unit == Unit::Turn && piece.turn.is_none() {
        return Fit::Perhaps("no_turn");
    }
    let answers = [
        of_kind(rate, piece),
        of_size(rate, piece),
        of_soundness(rate, piece),
        of_grade(rate, piece),
        of_way(rate, piece),
    ];
    if answers.contains(&Fit::No) {
        return Fit::No;
    }
    answers.into_iter().find(|answer| *answer != Fit::Yes).unwrap_or(Fit::Yes)
}

fn yes_if(fits: bool) -> Fit {
    if fits { Fit::Yes } else { Fit::No }
}

fn of_kind(rate: &Rate, piece: Piece) -> Fit {
    let product = rate.product.is_none_or(|product| product == piece.stick.product());
    yes_if(product && rate.species.is_none_or(|species| species == piece.stick.species()))
}

fn in_band(band: Option<(i64, i64)>, figure: Option<i64>, why: &'static str) -> Fit {
    match (band, figure) {
        (None, _) => Fit::Yes,
        (Some(_), None) => Fit::Perhaps(why),
        (Some((from, below)), Some(figure)) => yes_if(from <= figure && figure < below),
    }
}

fn of_size(rate: &Rate, piece: Piece) -> Fit {
    in_band(rate.diameter, piece.scaled.and_then(|scaled| scaled.diameter), "no_diameter")
}

fn of_soundness(rate: &Rate, piece: Piece) -> Fit {
    match (rate.cull, piece.scaled) {
        (None, _) => Fit::Yes,
        (Some(_), None) => Fit::Perhaps("unknown_soundness"),
        (Some(cull), Some(scaled)) => yes_if(cull == scaled.is_cull),
    }
}

fn of_grade(rate: &Rate, piece: Piece) -> Fit {
    let given = if let Stick::Log { grade, .. } = piece.stick { grade } else { None };
    let grade = piece.scaled.map_or(given, |scaled| scaled.grade);
    match grade {
        _ if rate.grades.is_empty() => Fit::Yes,
        None => Fit::Perhaps("no_grade"),
        Some(grade) => yes_if(rate.grades.contains(&grade)),
    }
}

fn of_way(rate: &Rate, piece: Piece) -> Fit {
    let why = if piece.turn.is_some() { "no_distance" } else { "no_turn" };
    in_band(rate.skidded, piece.turn.flatten(), why)
}

/// Whether a rate pays cull, where its terms do not say: gross scale, turns, and what is for cull alone do.
fn pays_cull(rate: &Rate) -> bool {
    let by_itself = matches!(rate.unit, Unit::ThousandGross | Unit::Turn) || rate.cull == Some(true);
    rate.says_of_cull.unwrap_or(by_itself)
}

/// Whether a piece that a rate is for is paid.
pub fn is_paid(rate: &Rate, piece: Piece) -> bool {
    pays_cull(rate) || !piece.scaled.is_some_and(|scaled| scaled.is_cull)
}

fn quantity(rate: &Rate, piece: Piece) -> Result<i64, &'static str> {
    let scaled = piece.scaled;
    if !is_paid(rate, piece) {
        return Ok(0);
    }
    let board_feet = scaled.and_then(|scaled| scaled.board_feet);
    match rate.unit {
        Unit::Piece | Unit::Turn => Ok(ONE),
        Unit::LinearFoot => scaled.map(|scaled| scaled.half_feet * ONE / 2).ok_or("no_length"),
        Unit::ThousandGross => board_feet.map(|(gross, _)| gross).ok_or("no_volume"),
        Unit::Hour | Unit::Day => Ok(0),
        Unit::ThousandNet => board_feet.map(|(_, net)| net).ok_or("no_volume"),
    }
}
