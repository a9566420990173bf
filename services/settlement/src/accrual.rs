//! From rates and a ticket's pieces to quantities earned, and what has no price.

use std::collections::BTreeMap;

use kernel::{Exact, Fixed, NumberError};
use serde::{Deserialize, Serialize};

use crate::tally::Tally;
use crate::{CountStep, PieceFacts, Rates, Task, TurnFacts, Unpriced, Work};

/// Why a ticket's work could not be counted up.
///
/// ```
/// use settlement::{AccrualError, Rates, Task, Work, accrue};
/// let work = [Work::alone(Task::Felling, vec![7])];
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
///     Accrual { rate: 0, task: Task::Felling, quantity: "1240".parse()?, pieces: vec![1, 2, 3, 4], steps: vec![] };
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
    /// What was done to the count besides adding up, in the order of the pieces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<CountStep>,
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
/// For each task, each piece goes to the one price that covers it; a piece named twice for a task counts once. A cull
/// piece under a rate that does not pay for cull is listed and adds nothing. Premiums and dockages that cover a priced
/// piece count it, too; they never price a piece by themselves. A turn rate counts the ticket's turn once for all the
/// task's pieces; without pieces the task was not done.
///
/// Where more than one payee did a task, each counts its part of a piece, and of the turn as a whole, as [`Work`] says.
/// A rate with a least quantity counts that much for a ticket with a turn, as soon as one piece is paid under it.
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
///         diameter_cm: None,
///         length_m: None,
///         volume: Some(PieceVolume { unit: VolumeUnit::BoardFoot, gross: gross.parse()?, net: net.parse()? }),
///         cull: false,
///         unscaled: None,
///     })
/// };
/// let pieces = [log(1, "110", "110")?, log(2, "140", "90")?];
/// let work = [Work::alone(Task::Felling, vec![1, 2])];
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
    // Pieces and work come in order nearly always, and sorting what is in order costs nothing: a map would.
    let mut on_ticket: Vec<&PieceFacts> = pieces.iter().collect();
    on_ticket.sort_by_key(|piece| piece.number);
    let mut same = on_ticket.chunk_by(|one, next| one.number == next.number);
    if let Some([repeated, _, ..]) = same.find(|same| same.len() > 1) {
        return Err(AccrualError::RepeatedPiece(repeated.number));
    }
    let mut done: BTreeMap<Task, (Vec<(u16, Exact)>, Exact)> = BTreeMap::new();
    for work in work {
        let (parts, turn_part) = done.entry(work.task).or_insert((Vec::new(), Exact::ZERO));
        *turn_part = (*turn_part).max(work.turn_part);
        parts.extend(work.pieces.iter().map(|number| (*number, work.part_of(*number).max(Exact::ZERO))));
    }
    let mut accrued = Accrued::default();
    for (task, (mut parts, turn_part)) in done {
        // A piece that is named twice counts once, with the larger part.
        parts.sort_by(|one, other| one.0.cmp(&other.0).then_with(|| other.1.cmp(&one.1)));
        parts.dedup_by_key(|(number, _)| *number);
        let mut tally = Tally::new(rates, task, turn, turn_part);
        for (number, part) in parts {
            let piece = on_ticket.binary_search_by_key(&number, |piece| piece.number).ok();
            let piece = piece.and_then(|at| on_ticket.get(at));
            tally.count(piece.ok_or(AccrualError::UnknownPiece { task, piece: number })?, part)?;
        }
        tally.hand_over(rates, &mut accrued)?;
    }
    Ok(accrued)
}
