//! Which rate pays for a stick, and how much it counts for.

use crate::record::{Rate, Stick, Task, Unit};
use crate::volume::Scaled;

/// What the rates make of a stick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The rate's place in the terms, and the quantity in tenths of the counted unit.
    Priced { rate: usize, tenths: i64 },
    /// Nothing pays for it, or for the turn as a whole.
    Unpriced { whole_turn: bool, why: &'static str },
}

/// Whether a rate is for a stick.
enum Fit {
    Yes,
    No,
    /// It would be, if something that was not measured were known and fell right.
    Perhaps(&'static str),
}

/// What the rates make of a stick to which a task was done.
pub fn verdict(
    rates: &[Rate],
    task: Task,
    stick: Stick,
    scaled: Option<Scaled>,
    turn: Option<Option<i64>>,
) -> Verdict {
    let mut missed = Verdict::Unpriced { whole_turn: false, why: "no_rate" };
    for (place, rate) in rates.iter().enumerate().filter(|(_, rate)| rate.task == task) {
        match fit(rate, stick, scaled, turn) {
            Fit::No => {}
            Fit::Perhaps(why) => missed = Verdict::Unpriced { whole_turn: rate.unit == Unit::Turn, why },
            Fit::Yes => {
                return match tenths(rate, scaled) {
                    Ok(tenths) => Verdict::Priced { rate: place, tenths },
                    Err(why) => Verdict::Unpriced { whole_turn: false, why },
                };
            }
        }
    }
    missed
}

fn fit(rate: &Rate, stick: Stick, scaled: Option<Scaled>, turn: Option<Option<i64>>) -> Fit {
    let within = |band: (i64, i64), figure: i64| band.0 <= figure && figure < band.1;
    if rate.unit == Unit::Turn && turn.is_none() {
        return Fit::Perhaps("no_turn");
    }
    if rate.product.is_some_and(|product| product != stick.product())
        || rate.species.is_some_and(|species| species != stick.species())
    {
        return Fit::No;
    }
    if let Some(band) = rate.diameter {
        match scaled.and_then(|scaled| scaled.diameter) {
            None => return Fit::Perhaps("no_diameter"),
            Some(diameter) if !within(band, diameter) => return Fit::No,
            Some(_) => {}
        }
    }
    if let Some(band) = rate.skidded {
        match turn.flatten() {
            None => return Fit::Perhaps("no_distance"),
            Some(feet) if !within(band, feet) => return Fit::No,
            Some(_) => {}
        }
    }
    Fit::Yes
}

/// Whether a rate pays cull, where its terms do not say: gross scale and turns do, the rest does not.
fn pays_cull(rate: &Rate) -> bool {
    rate.says_of_cull.unwrap_or(matches!(rate.unit, Unit::ThousandGross | Unit::Turn))
}

fn tenths(rate: &Rate, scaled: Option<Scaled>) -> Result<i64, &'static str> {
    if scaled.is_some_and(|scaled| scaled.is_cull) && !pays_cull(rate) {
        return Ok(0);
    }
    let board_feet = scaled.and_then(|scaled| scaled.board_feet);
    match rate.unit {
        Unit::Piece | Unit::Turn => Ok(10),
        Unit::LinearFoot => scaled.map(|scaled| scaled.half_feet * 5).ok_or("no_length"),
        Unit::ThousandGross => board_feet.map(|(gross, _)| gross * 10).ok_or("no_volume"),
        Unit::ThousandNet => board_feet.map(|(_, net)| net * 10).ok_or("no_volume"),
    }
}
