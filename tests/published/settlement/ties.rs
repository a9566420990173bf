//! What tie makers were paid by the piece, from the rate on paper to the sum.

use std::collections::BTreeMap;

use kernel::{Fixed, Money, Product};
use settlement::{
    Covers, PieceFacts, Rate, RateDraft, RateKind, RateUnit, Rates, Task, Work, accrue, amount,
};

use super::{cell, rows};

/// One grade of ties on a day's tally.
struct Grade {
    grade: String,
    ties: u16,
    cents_each: i64,
}

impl Grade {
    fn rate(&self) -> Rate {
        let draft = RateDraft {
            name: format!("grade {}", self.grade).parse().expect("a name"),
            kind: RateKind::Price,
            task: Task::Hewing,
            product: Some(Product::Tie),
            unit: RateUnit::Piece,
            basis: None,
            price: Fixed::from_millionths(self.cents_each * Fixed::STEPS_PER_UNIT / 100),
            pays_cull: None,
            least_quantity_a_turn: None,
            covers: Covers { grades: vec![self.grade.parse().expect("a grade")], ..Covers::default() },
        };
        Rate::try_from(draft).expect("a rate by the piece")
    }

    fn ties(&self, first: u16) -> impl Iterator<Item = PieceFacts> {
        (first..first + self.ties).map(|number| PieceFacts {
            number,
            product: Product::Tie,
            species: "oak".into(),
            grade: Some(self.grade.clone()),
            diameter_in: None,
            length_ft: None,
            diameter_cm: None,
            length_m: None,
            volume: None,
            cull: false,
            unscaled: None,
        })
    }
}

#[test]
fn every_published_tally_of_ties() {
    let mut tallies: BTreeMap<String, (Vec<Grade>, i64)> = BTreeMap::new();
    for row in rows("tie_pay.csv") {
        let number = |column| cell(&row, column).parse::<i64>().unwrap();
        let (grades, total) = tallies.entry(cell(&row, 0).to_owned()).or_default();
        let ties = u16::try_from(number(2)).unwrap();
        grades.push(Grade { grade: cell(&row, 1).to_owned(), ties, cents_each: number(3) });
        // A tally of several grades has its total on the last of them.
        *total = if cell(&row, 4).is_empty() { 0 } else { number(4) };
    }
    assert_eq!(tallies.keys().collect::<Vec<_>>(), ["C004", "K52", "PA01", "PA02"]);
    for (id, (grades, total)) in tallies {
        let rates = Rates::new(grades.iter().map(Grade::rate).collect()).unwrap();
        let mut pieces: Vec<PieceFacts> = Vec::new();
        for grade in &grades {
            let next = u16::try_from(pieces.len()).unwrap() + 1;
            pieces.extend(grade.ties(next));
        }
        let hewn = Work::alone(Task::Hewing, pieces.iter().map(|tie| tie.number).collect());
        let accrued = accrue(&rates, &[hewn], &pieces, None).unwrap();
        assert!(accrued.unpriced.is_empty(), "{id}");
        let mut pay = Money::zero("USD".parse().unwrap());
        for accrual in accrued.accruals {
            let rate = rates.get(accrual.rate).unwrap();
            pay = pay
                .plus(amount(accrual.quantity, rate.price(), rate.unit(), pay.currency()).unwrap())
                .unwrap();
        }
        assert_eq!(pay.minor(), total, "{id}");
    }
}
