//! Laws of accruing: every piece is counted once or listed as unpriced, and order does not matter.

use std::collections::BTreeSet;

use kernel::Fixed;
use proptest::prelude::{Strategy, prop_assert_eq, proptest};
use settlement::{Accrued, Basis, PieceFacts, Rate, RateUnit, Task, Work, accrue};

use crate::common::whole;
use crate::rating::{piece, rates, turn};

fn pieces() -> impl Strategy<Value = Vec<PieceFacts>> {
    (1_u16..8).prop_flat_map(|count| (1..=count).map(|number| piece(number).boxed()).collect::<Vec<_>>())
}

/// Felling and hauling of all the pieces, in two lots each that overlap.
fn work(pieces: &[PieceFacts]) -> Vec<Work> {
    let numbers: Vec<u16> = pieces.iter().map(|piece| piece.number).collect();
    [Task::Hauling, Task::Felling]
        .into_iter()
        .flat_map(|task| {
            let half = numbers.iter().copied().skip(numbers.len() / 2).collect();
            [Work { task, pieces: half }, Work { task, pieces: numbers.clone() }]
        })
        .collect()
}

/// How often a piece appears for a task, over what was earned and what was not priced.
fn mentions(accrued: &Accrued, task: Task, number: u16) -> usize {
    let earned = accrued
        .accruals
        .iter()
        .filter(|accrual| accrual.task == task)
        .flat_map(|accrual| &accrual.pieces)
        .filter(|piece| **piece == number)
        .count();
    let unpriced =
        accrued.unpriced.iter().filter(|one| one.task == task && one.piece == Some(number)).count();
    earned + unpriced
}

/// What one piece adds to an accrual, said again in another way than the crate says it.
fn adds(rate: &Rate, piece: &PieceFacts) -> Fixed {
    let paid = !piece.cull || rate.pays_cull();
    let figure = match rate.unit() {
        RateUnit::Piece => Some(whole(1)),
        RateUnit::LinearFoot => piece.length_ft,
        _ => piece.volume.map(|volume| match rate.basis().unwrap() {
            Basis::Gross => volume.gross,
            Basis::Net => volume.net,
        }),
    };
    if paid { figure.unwrap() } else { Fixed::ZERO }
}

proptest! {
    #[test]
    fn each_piece_is_counted_once_or_listed(rates in rates(), pieces in pieces(), turn in turn()) {
        let accrued = accrue(&rates, &work(&pieces), &pieces, turn.as_ref()).unwrap();
        for task in [Task::Felling, Task::Hauling] {
            let turn_is_unpriced = accrued.unpriced.iter().any(|one| one.task == task && one.piece.is_none());
            for piece in &pieces {
                match mentions(&accrued, task, piece.number) {
                    0 => proptest::prop_assert!(turn_is_unpriced),
                    count => prop_assert_eq!(count, 1),
                }
            }
        }
        for accrual in &accrued.accruals {
            let rate = rates.get(accrual.rate).unwrap();
            prop_assert_eq!(rate.task(), accrual.task);
            if rate.is_by_turn() {
                prop_assert_eq!(accrual.quantity, whole(1));
                continue;
            }
            let counted = pieces.iter().filter(|piece| accrual.pieces.contains(&piece.number));
            let sum: i64 = counted.map(|piece| adds(rate, piece).millionths()).sum();
            prop_assert_eq!(accrual.quantity.millionths(), sum);
        }
    }

    #[test]
    fn order_changes_nothing(rates in rates(), pieces in pieces(), turn in turn()) {
        let there = accrue(&rates, &work(&pieces), &pieces, turn.as_ref()).unwrap();
        let backwards: Vec<PieceFacts> = pieces.iter().rev().cloned().collect();
        let mut work = work(&backwards);
        work.reverse();
        let back = accrue(&rates, &work, &backwards, turn.as_ref()).unwrap();
        prop_assert_eq!(&there, &back);
        let distinct: BTreeSet<_> = there.unpriced.iter().collect();
        prop_assert_eq!(distinct.len(), there.unpriced.len());
    }
}
