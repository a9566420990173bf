//! Laws of accruing: every piece is counted once or listed as unpriced, and order does not matter.

use std::collections::BTreeSet;

use kernel::{Exact, Fixed};
use proptest::prelude::{Strategy, prop_assert_eq, proptest};
use settlement::{
    Accrued, Basis, PieceFacts, Rate, RateKind, RateUnit, Rates, Task, TurnFacts, Work, accrue,
};

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
            [Work::alone(task, half), Work::alone(task, numbers.clone())]
        })
        .collect()
}

/// Under how many prices a piece was earned for a task.
fn prices(rates: &Rates, accrued: &Accrued, task: Task, number: u16) -> usize {
    let of_task = accrued.accruals.iter().filter(|accrual| accrual.task == task);
    let prices = of_task.filter(|accrual| rates.get(accrual.rate).unwrap().kind() == RateKind::Price);
    prices.flat_map(|accrual| &accrual.pieces).filter(|piece| **piece == number).count()
}

/// What one piece adds to an accrual, said again in another way than the crate says it.
fn adds(rate: &Rate, piece: &PieceFacts, turn: Option<&TurnFacts>) -> Fixed {
    let paid = !piece.cull || rate.pays_cull();
    let figure = match rate.unit() {
        RateUnit::Piece => Some(whole(1)),
        RateUnit::LinearFoot => piece.length_ft,
        RateUnit::LinearMetre => piece.length_m,
        // Whole board feet by halves of a mile: never more than one decimal.
        RateUnit::ThousandBoardFeetMile if paid => {
            let volume = piece.volume.map(|volume| match rate.basis().unwrap() {
                Basis::Gross => volume.gross,
                Basis::Net => volume.net,
            });
            let miles = turn.unwrap().haul_distance_mi.unwrap();
            volume.map(|volume| Fixed::from_millionths(volume.millionths() / 1_000_000 * miles.millionths()))
        }
        _ => piece.volume.map(|volume| match rate.basis().unwrap() {
            Basis::Gross => volume.gross,
            Basis::Net => volume.net,
        }),
    };
    if paid { figure.unwrap() } else { Fixed::ZERO }
}

proptest! {
    #[test]
    fn each_piece_has_one_price_or_is_listed(rates in rates(), pieces in pieces(), turn in turn()) {
        let accrued = accrue(&rates, &work(&pieces), &pieces, turn.as_ref()).unwrap();
        for task in [Task::Felling, Task::Hauling] {
            let turn_is_unpriced = accrued.unpriced.iter().any(|one| one.task == task && one.piece.is_none());
            let only_prices = rates.as_slice().iter().all(|rate| rate.kind() == RateKind::Price);
            for piece in &pieces {
                let listed = accrued.unpriced.iter().any(|one| one.task == task && one.piece == Some(piece.number));
                match prices(&rates, &accrued, task, piece.number) {
                    0 => proptest::prop_assert!(turn_is_unpriced || listed),
                    // What goes on top may lack something that the price does not ask for.
                    count => proptest::prop_assert!(count == 1 && !(listed && only_prices)),
                }
            }
        }
        for accrual in &accrued.accruals {
            let rate = rates.get(accrual.rate).unwrap();
            prop_assert_eq!(rate.task(), accrual.task);
            for piece in &accrual.pieces {
                prop_assert_eq!(prices(&rates, &accrued, accrual.task, *piece), 1);
            }
            if rate.is_by_turn() {
                prop_assert_eq!(accrual.quantity, whole(1));
                continue;
            }
            let counted = pieces.iter().filter(|piece| accrual.pieces.contains(&piece.number));
            let sum: i64 = counted.map(|piece| adds(rate, piece, turn.as_ref()).millionths()).sum();
            prop_assert_eq!(accrual.quantity.millionths(), sum);
        }
    }

    #[test]
    fn crews_together_count_no_more_than_one_alone(
        rates in rates(), pieces in pieces(), turn in turn(), parts in proptest::collection::vec(1_i128..5, 8)
    ) {
        // Two crews at every piece, in parts that differ from piece to piece.
        let numbers: Vec<u16> = pieces.iter().map(|piece| piece.number).collect();
        let count = i128::try_from(numbers.len()).unwrap();
        let part = |number: u16| Exact::fraction(parts[usize::from(number)], 5);
        let mut of_turn = Exact::ZERO;
        for number in &numbers {
            of_turn = of_turn.plus(part(*number)).unwrap();
        }
        let of_turn = of_turn.over(Exact::of(count)).unwrap();
        let rest = |part: Exact| Exact::ONE.minus(part).unwrap();
        let mut one = Work::alone(Task::Hauling, numbers.clone());
        one.parts = numbers.iter().map(|number| (*number, part(*number))).collect();
        one.turn_part = of_turn;
        let mut other = Work::alone(Task::Hauling, numbers.clone());
        other.parts = numbers.iter().map(|number| (*number, rest(part(*number)))).collect();
        other.turn_part = rest(of_turn);
        let counted = |work: Work| accrue(&rates, &[work], &pieces, turn.as_ref()).unwrap();
        let alone = counted(Work::alone(Task::Hauling, numbers.clone()));
        let (one, other) = (counted(one), counted(other));
        prop_assert_eq!(&one.unpriced, &alone.unpriced);
        prop_assert_eq!(&other.unpriced, &alone.unpriced);
        prop_assert_eq!(one.accruals.len(), alone.accruals.len());
        for ((one, other), alone) in one.accruals.iter().zip(&other.accruals).zip(&alone.accruals) {
            let both = one.quantity.plus(other.quantity).unwrap().minus(alone.quantity).unwrap();
            // A millionth at most for each piece, where both halves of one are rounded up.
            proptest::prop_assert!((0..=i64::try_from(count).unwrap()).contains(&both.millionths()));
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
