//! What each piece of a ticket brings of the quantity that was counted under one rate.

use kernel::{Exact, NumberError};

use crate::{Accrual, AccrualError, CountStep, PieceFacts, Rates, TurnFacts, Work, accrue};

/// One piece's part of an accrual.
///
/// ```
/// use settlement::PiecePart;
/// let part = PiecePart { piece: 2, counted: "140".parse()?, quantity: "140".parse()? };
/// assert_eq!(part.counted, part.quantity);
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PiecePart {
    /// The piece's number on its ticket.
    pub piece: u16,
    /// What it counts for by itself: nothing where a turn is counted as a whole.
    pub counted: Exact,
    /// Its part of the accrual's quantity: what it counts for, and an equal part of what belongs to no single piece.
    pub quantity: Exact,
}

/// Divides what was accrued under a rate among the pieces it is for, so that the parts sum to the quantity exactly.
///
/// A piece brings what it counts for. What belongs to no single piece is divided equally among all of them: a turn that
/// is paid as a whole, and what a least quantity adds to a turn. Nothing is rounded and nothing is paid by these parts;
/// they say where a quantity comes from.
///
/// # Errors
///
/// [`AccrualError`], as when it was accrued.
///
/// ```
/// use kernel::Product;
/// use settlement::{PieceFacts, Rates, Task, TurnFacts, Work, accrue, apportion};
///
/// let rates: Rates = serde_json::from_str(
///     r#"[{"name": "skidding", "task": "skidding", "unit": "turn", "price": "2.50"}]"#,
/// )?;
/// let tie = |number| PieceFacts {
///     number,
///     product: Product::Tie,
///     species: "oak".into(),
///     grade: None,
///     diameter_in: None,
///     length_ft: None,
///     diameter_cm: None,
///     length_m: None,
///     volume: None,
///     cull: false,
///     unscaled: None,
/// };
/// let (work, ties) = ([Work::alone(Task::Skidding, vec![1, 2, 3])], [tie(1), tie(2), tie(3)]);
/// let turn = TurnFacts::default();
/// let accrued = accrue(&rates, &work, &ties, Some(&turn))?;
/// let parts = apportion(&accrued.accruals[0], &rates, &work, &ties, Some(&turn))?;
/// assert_eq!(parts[0].quantity, kernel::Exact::fraction(1, 3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn apportion(
    accrual: &Accrual,
    rates: &Rates,
    work: &[Work],
    pieces: &[PieceFacts],
    turn: Option<&TurnFacts>,
) -> Result<Vec<PiecePart>, AccrualError> {
    let by_turn = rates.get(accrual.rate).is_some_and(crate::Rate::is_by_turn);
    let mut counted = Vec::with_capacity(accrual.pieces.len());
    let mut sum = Exact::ZERO;
    for number in &accrual.pieces {
        let one = if by_turn { Exact::ZERO } else { alone(accrual, rates, work, pieces, turn, *number)? };
        sum = sum.plus(one)?;
        counted.push((*number, one));
    }
    let count = i128::try_from(counted.len()).map_err(|_| NumberError::TooLarge)?;
    let mut parts = Vec::with_capacity(counted.len());
    for (piece, counted) in counted {
        let of_the_whole = accrual.quantity.exact().minus(sum)?.over(Exact::of(count))?;
        parts.push(PiecePart { piece, counted, quantity: counted.plus(of_the_whole)? });
    }
    Ok(parts)
}

/// What a piece counts for by itself, before any least quantity.
fn alone(
    accrual: &Accrual,
    rates: &Rates,
    work: &[Work],
    pieces: &[PieceFacts],
    turn: Option<&TurnFacts>,
    number: u16,
) -> Result<Exact, AccrualError> {
    let unknown = AccrualError::UnknownPiece { task: accrual.task, piece: number };
    let piece = pieces.iter().find(|piece| piece.number == number).ok_or(unknown)?;
    let of_task = work.iter().filter(|one| one.task == accrual.task && one.pieces.contains(&number));
    let only: Vec<Work> = of_task.map(|one| Work { pieces: vec![number], ..one.clone() }).collect();
    let accrued = accrue(rates, &only, std::slice::from_ref(piece), turn)?;
    let found = accrued.accruals.into_iter().find(|one| one.rate == accrual.rate).ok_or(unknown)?;
    let least = found.steps.iter().find_map(|step| match step {
        CountStep::LeastQuantity { found, .. } => Some(*found),
        _ => None,
    });
    Ok(least.unwrap_or(found.quantity).exact())
}
