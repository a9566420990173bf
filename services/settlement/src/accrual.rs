//! From rates and a ticket's pieces to quantities earned, and what has no price.

use std::collections::{BTreeMap, BTreeSet};

use kernel::{Fixed, NumberError};
use serde::{Deserialize, Serialize};

use crate::{
    Basis, Coverage, PieceFacts, Rate, RateUnit, Rates, Task, TurnFacts, Unpriced, UnpricedReason, Work,
};

/// Why a ticket's work could not be counted up.
///
/// ```
/// use settlement::{AccrualError, Rates, Task, Work, accrue};
/// let work = [Work { task: Task::Felling, pieces: vec![7] }];
/// let refused = accrue(&Rates::default(), &work, &[], None);
/// assert_eq!(refused, Err(AccrualError::UnknownPiece { task: Task::Felling, piece: 7 }));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AccrualError {
    /// Work names a piece that the ticket does not have.
    #[error("{task} names piece {piece}, which is not on the ticket: name a piece that is")]
    UnknownPiece {
        /// The task.
        task: Task,
        /// The piece's number.
        piece: u16,
    },
    /// Two pieces have one number.
    #[error("piece {0} is on the ticket twice: number the pieces from 1, each once")]
    RepeatedPiece(u16),
    /// A sum that cannot be held.
    #[error(transparent)]
    Number(#[from] NumberError),
}

impl AccrualError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::AccrualError::RepeatedPiece(2).code(), "accrual_repeated_piece");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::UnknownPiece { .. } => "accrual_unknown_piece",
            Self::RepeatedPiece(_) => "accrual_repeated_piece",
            Self::Number(_) => "accrual_number",
        }
    }
}

/// What a ticket's work comes to under one rate.
///
/// ```
/// use settlement::{Accrual, Task};
/// let accrual =
///     Accrual { rate: 0, task: Task::Felling, quantity: "1240".parse()?, pieces: vec![1, 2, 3, 4] };
/// assert_eq!(
///     serde_json::to_string(&accrual)?,
///     r#"{"rate":0,"task":"felling","quantity":"1240","pieces":[1,2,3,4]}"#
/// );
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Accrual {
    /// The rate's position in the terms, from 0.
    pub rate: usize,
    /// The task.
    pub task: Task,
    /// How much, in the unit that the rate counts: board feet, pieces, feet, cubic feet, cubic metres, cords, stacked
    /// cubic metres or turns.
    pub quantity: Fixed,
    /// The numbers of the pieces priced, in order; among them cull that counts for nothing.
    pub pieces: Vec<u16>,
}

/// What a ticket's work comes to under all rates of one contract's terms.
///
/// ```
/// assert!(settlement::Accrued::default().accruals.is_empty());
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Accrued {
    /// One for each task and rate, in that order.
    pub accruals: Vec<Accrual>,
    /// What no rate puts a price on, in order of task and piece.
    pub unpriced: Vec<Unpriced>,
}

/// Counts up one payee's work on one ticket by the rates of one contract's terms.
///
/// For each task, each piece goes to the one rate that covers it; a piece named twice for a task counts once. A cull
/// piece under a rate that does not pay for cull is listed and adds nothing. A turn rate counts the ticket's turn once
/// for all the task's pieces; without pieces the task was not done. Where two payees did one task on one ticket by a
/// turn rate, each call counts the turn: the caller decides whose turn it was.
///
/// # Errors
///
/// [`AccrualError`] when work names a piece that is not there, a piece's number repeats, or a sum is too large.
///
/// ```
/// use kernel::{Product, VolumeUnit};
/// use settlement::{PieceFacts, PieceVolume, Rates, Task, Work, accrue};
///
/// let rates: Rates = serde_json::from_str(
///     r#"[{"name": "felling", "task": "felling", "product": "log", "unit": "thousand_board_feet",
///          "basis": "gross", "price": "9.25"}]"#,
/// )?;
/// let log = |number, gross: &str, net: &str| -> Result<_, kernel::NumberTextError> {
///     Ok(PieceFacts {
///         number,
///         product: Product::Log,
///         species: "pine".into(),
///         grade: None,
///         diameter_in: Some("14".parse()?),
///         length_ft: Some("16".parse()?),
///         volume: Some(PieceVolume { unit: VolumeUnit::BoardFoot, gross: gross.parse()?, net: net.parse()? }),
///         cull: false,
///         unscaled: None,
///     })
/// };
/// let pieces = [log(1, "110", "110")?, log(2, "140", "90")?];
/// let work = [Work { task: Task::Felling, pieces: vec![1, 2] }];
/// let accrued = accrue(&rates, &work, &pieces, None)?;
/// assert_eq!(accrued.accruals[0].quantity, "250".parse()?);
/// assert!(accrued.unpriced.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn accrue(
    rates: &Rates,
    work: &[Work],
    pieces: &[PieceFacts],
    turn: Option<&TurnFacts>,
) -> Result<Accrued, AccrualError> {
    let mut on_ticket = BTreeMap::new();
    for piece in pieces {
        if on_ticket.insert(piece.number, piece).is_some() {
            return Err(AccrualError::RepeatedPiece(piece.number));
        }
    }
    let mut done: BTreeMap<Task, BTreeSet<u16>> = BTreeMap::new();
    for Work { task, pieces } in work {
        done.entry(*task).or_default().extend(pieces);
    }
    let mut accrued = Accrued::default();
    for (task, numbers) in done {
        let mut tally = Tally::new(rates, task);
        for number in numbers {
            let piece = on_ticket.get(&number).ok_or(AccrualError::UnknownPiece { task, piece: number })?;
            tally.count(piece, turn)?;
        }
        tally.hand_over(&mut accrued);
    }
    Ok(accrued)
}

/// The running count of one task.
struct Tally<'a> {
    task: Task,
    rates: Vec<(usize, &'a Rate)>,
    earned: BTreeMap<usize, (Fixed, Vec<u16>)>,
    /// A set, since a turn without a price is found at each of its pieces and listed once.
    unpriced: BTreeSet<Unpriced>,
}

impl<'a> Tally<'a> {
    fn new(rates: &'a Rates, task: Task) -> Self {
        let rates = rates.as_slice().iter().enumerate().filter(|(_, rate)| rate.task() == task).collect();
        Self { task, rates, earned: BTreeMap::new(), unpriced: BTreeSet::new() }
    }

    fn count(&mut self, piece: &PieceFacts, turn: Option<&TurnFacts>) -> Result<(), NumberError> {
        let found = self.rate_for(piece, turn).and_then(|(position, rate)| {
            let quantity = quantity(rate, piece).map_err(|reason| (Some(piece.number), reason))?;
            Ok((position, rate, quantity))
        });
        match found {
            Ok((position, rate, quantity)) => {
                let (sum, pieces) = self.earned.entry(position).or_default();
                *sum = if rate.is_by_turn() { quantity } else { sum.plus(quantity)? };
                pieces.push(piece.number);
            }
            Err((piece, reason)) => {
                self.unpriced.insert(Unpriced { task: self.task, piece, reason });
            }
        }
        Ok(())
    }

    /// The one rate that covers a piece, or why there is none; for a turn as a whole the piece is left out.
    fn rate_for(
        &self,
        piece: &PieceFacts,
        turn: Option<&TurnFacts>,
    ) -> Result<(usize, &'a Rate), (Option<u16>, UnpricedReason)> {
        let mut missed = (Some(piece.number), UnpricedReason::NoRate);
        for (position, rate) in &self.rates {
            match rate.coverage(piece, turn) {
                Coverage::Covers => return Ok((*position, rate)),
                Coverage::Unknown(reason) if rate.is_by_turn() => missed = (None, reason),
                Coverage::Unknown(reason) if missed.1 == UnpricedReason::NoRate => missed.1 = reason,
                Coverage::Unknown(_) | Coverage::Apart => {}
            }
        }
        Err(missed)
    }

    fn hand_over(self, accrued: &mut Accrued) {
        let task = self.task;
        accrued.accruals.extend(self.earned.into_iter().map(|(rate, (quantity, pieces))| Accrual {
            rate,
            task,
            quantity,
            pieces,
        }));
        accrued.unpriced.extend(self.unpriced);
    }
}

/// How much of the counted unit a piece comes to under the rate that covers it.
fn quantity(rate: &Rate, piece: &PieceFacts) -> Result<Fixed, UnpricedReason> {
    const ONE: Fixed = Fixed::from_millionths(Fixed::STEPS_PER_UNIT);
    if piece.cull && !rate.pays_cull() {
        return Ok(Fixed::ZERO);
    }
    match (rate.unit(), rate.unit().volume_unit()) {
        (RateUnit::LinearFoot, _) => piece.length_ft.ok_or(UnpricedReason::NoLength),
        (_, None) => Ok(ONE),
        (_, Some(wanted)) => match piece.volume {
            None => Err(UnpricedReason::NoVolume {
                why: piece.unscaled.clone().unwrap_or_else(|| "no reason was recorded".to_owned()),
            }),
            Some(volume) if volume.unit != wanted => {
                Err(UnpricedReason::OtherVolumeUnit { wanted, found: volume.unit })
            }
            Some(volume) if rate.basis() == Some(Basis::Net) => Ok(volume.net),
            Some(volume) => Ok(volume.gross),
        },
    }
}
