//! The running count of one task of one payee on one ticket.

use std::collections::{BTreeMap, BTreeSet};

use kernel::{Exact, Fixed, NumberError};

use crate::count::{ROUNDING, rounded};
use crate::{
    Accrual, Accrued, Basis, CountStep, Coverage, PieceFacts, Rate, RateUnit, Rates, Task, TurnFacts,
    Unpriced, UnpricedReason,
};

/// Why a piece's quantity is not known.
enum Missing {
    Reason(UnpricedReason),
    Number(NumberError),
}

impl From<UnpricedReason> for Missing {
    fn from(reason: UnpricedReason) -> Self {
        Self::Reason(reason)
    }
}

impl From<NumberError> for Missing {
    fn from(error: NumberError) -> Self {
        Self::Number(error)
    }
}

/// What one rate has come to so far.
#[derive(Default)]
struct Earned {
    quantity: Fixed,
    pieces: Vec<u16>,
    /// Whether a piece among them is paid: one that is not cull, or is cull and paid all the same.
    any_paid: bool,
    steps: Vec<CountStep>,
}

/// The running count.
pub(crate) struct Tally<'a> {
    task: Task,
    prices: Vec<(usize, &'a Rate)>,
    /// Premiums and dockages.
    on_top: Vec<(usize, &'a Rate)>,
    turn: Option<&'a TurnFacts>,
    /// The payee's part of the turn as a whole.
    turn_part: Exact,
    earned: BTreeMap<usize, Earned>,
    /// A set, since a turn without a price is found at each of its pieces and listed once.
    unpriced: BTreeSet<Unpriced>,
}

impl<'a> Tally<'a> {
    pub(crate) fn new(rates: &'a Rates, task: Task, turn: Option<&'a TurnFacts>, turn_part: Exact) -> Self {
        let of_task = rates.as_slice().iter().enumerate().filter(|(_, rate)| rate.task() == task);
        let (prices, on_top) = of_task.partition(|(_, rate)| rate.kind().is_price());
        let (earned, unpriced) = (BTreeMap::new(), BTreeSet::new());
        Self { task, prices, on_top, turn, turn_part, earned, unpriced }
    }

    /// Counts a piece, of which the payee did this part.
    pub(crate) fn count(&mut self, piece: &PieceFacts, part: Exact) -> Result<(), NumberError> {
        let priced = match self.price_of(piece) {
            Ok((position, rate)) => self.add(position, rate, piece, part)?,
            Err((piece, reason)) => {
                self.list(piece, reason);
                false
            }
        };
        // What goes on top of a price goes on top of nothing where there is none.
        if priced {
            self.count_on_top(piece, part)?;
        }
        Ok(())
    }

    fn count_on_top(&mut self, piece: &PieceFacts, part: Exact) -> Result<(), NumberError> {
        for (position, rate) in self.on_top.clone() {
            match rate.coverage(piece, self.turn) {
                Coverage::Covers => {
                    self.add(position, rate, piece, part)?;
                }
                // A premium by grade is for pieces that bear the grade; a piece without one lacks nothing.
                Coverage::Apart | Coverage::Unknown(UnpricedReason::NoGrade) => {}
                Coverage::Unknown(reason) => {
                    self.list((!rate.is_by_turn()).then_some(piece.number), reason);
                }
            }
        }
        Ok(())
    }

    /// Adds a piece to what its rate has come to, or lists it; answers whether it was added.
    fn add(
        &mut self,
        position: usize,
        rate: &Rate,
        piece: &PieceFacts,
        part: Exact,
    ) -> Result<bool, NumberError> {
        let mut steps = Vec::new();
        let found = match rate.is_by_turn() {
            true => part_of_turn(self.turn_part, &mut steps).map_err(Missing::Number),
            false => quantity(rate, piece, self.turn, &mut steps)
                .and_then(|whole| Ok(part_of_piece(piece.number, whole, part, &mut steps)?)),
        };
        match found {
            Err(Missing::Number(error)) => Err(error),
            Err(Missing::Reason(reason)) => {
                self.list(Some(piece.number), reason);
                Ok(false)
            }
            Ok(quantity) => {
                let earned = self.earned.entry(position).or_default();
                if rate.is_by_turn() {
                    (earned.quantity, earned.steps) = (quantity, steps);
                } else {
                    earned.quantity = earned.quantity.plus(quantity)?;
                    earned.steps.append(&mut steps);
                }
                earned.any_paid |= is_paid(rate, piece);
                earned.pieces.push(piece.number);
                Ok(true)
            }
        }
    }

    fn list(&mut self, piece: Option<u16>, reason: UnpricedReason) {
        self.unpriced.insert(Unpriced { task: self.task, piece, reason });
    }

    /// The one price that covers a piece, or why there is none; for a turn as a whole the piece is left out.
    fn price_of(&self, piece: &PieceFacts) -> Result<(usize, &'a Rate), (Option<u16>, UnpricedReason)> {
        let mut missed = (Some(piece.number), UnpricedReason::NoRate);
        for (position, rate) in &self.prices {
            match rate.coverage(piece, self.turn) {
                Coverage::Covers => return Ok((*position, rate)),
                Coverage::Unknown(reason) if rate.is_by_turn() => missed = (None, reason),
                Coverage::Unknown(reason) if missed.1 == UnpricedReason::NoRate => missed.1 = reason,
                Coverage::Unknown(_) | Coverage::Apart => {}
            }
        }
        Err(missed)
    }

    /// Adds what was counted to what the ticket comes to.
    pub(crate) fn hand_over(self, rates: &Rates, accrued: &mut Accrued) -> Result<(), NumberError> {
        for (rate, mut earned) in self.earned {
            let least = rates.get(rate).and_then(Rate::least_quantity_a_turn);
            if let (Some(least), Some(_), true) = (least, self.turn, earned.any_paid) {
                let least = rounded(least.exact().times(self.turn_part)?)?;
                if earned.quantity < least {
                    earned.steps.push(CountStep::LeastQuantity { found: earned.quantity, least });
                    earned.quantity = least;
                }
            }
            let Earned { quantity, pieces, steps, .. } = earned;
            accrued.accruals.push(Accrual { rate, task: self.task, quantity, pieces, steps });
        }
        accrued.unpriced.extend(self.unpriced);
        Ok(())
    }
}

fn is_paid(rate: &Rate, piece: &PieceFacts) -> bool {
    !piece.cull || rate.pays_cull()
}

/// How much of the counted unit a piece comes to under the rate that covers it.
fn quantity(
    rate: &Rate,
    piece: &PieceFacts,
    turn: Option<&TurnFacts>,
    steps: &mut Vec<CountStep>,
) -> Result<Fixed, Missing> {
    const ONE: Fixed = Fixed::from_millionths(Fixed::STEPS_PER_UNIT);
    if !is_paid(rate, piece) {
        return Ok(Fixed::ZERO);
    }
    let Some(wanted) = rate.unit().volume_unit() else {
        return match rate.unit() {
            RateUnit::LinearFoot => piece.length_ft.ok_or_else(|| UnpricedReason::NoLength.into()),
            RateUnit::LinearMetre => piece.length_m.ok_or_else(|| UnpricedReason::NoLength.into()),
            _ => Ok(ONE),
        };
    };
    let volume = match piece.volume {
        None => {
            let why = piece.unscaled.clone().unwrap_or_else(|| "no reason was recorded".to_owned());
            return Err(UnpricedReason::NoVolume { why }.into());
        }
        Some(volume) if volume.unit != wanted => {
            return Err(UnpricedReason::OtherVolumeUnit { wanted, found: volume.unit }.into());
        }
        Some(volume) if rate.basis() == Some(Basis::Net) => volume.net,
        Some(volume) => volume.gross,
    };
    if rate.unit() != RateUnit::ThousandBoardFeetMile {
        return Ok(volume);
    }
    let turn = turn.ok_or(UnpricedReason::NoTurn)?;
    let miles = turn.haul_distance_mi.ok_or(UnpricedReason::NoDistance)?;
    let counted = rounded(volume.exact().times(miles.exact())?)?;
    steps.push(CountStep::Miles { piece: piece.number, volume, miles, rounding: ROUNDING, counted });
    Ok(counted)
}

fn part_of_piece(
    piece: u16,
    whole: Fixed,
    part: Exact,
    steps: &mut Vec<CountStep>,
) -> Result<Fixed, NumberError> {
    if part == Exact::ONE {
        return Ok(whole);
    }
    let counted = rounded(whole.exact().times(part)?)?;
    steps.push(CountStep::Part { piece, whole, part, rounding: ROUNDING, counted });
    Ok(counted)
}

fn part_of_turn(part: Exact, steps: &mut Vec<CountStep>) -> Result<Fixed, NumberError> {
    let counted = rounded(part)?;
    if part != Exact::ONE {
        steps.push(CountStep::PartOfTurn { part, rounding: ROUNDING, counted });
    }
    Ok(counted)
}
