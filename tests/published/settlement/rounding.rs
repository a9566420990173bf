//! Published roundings: nearest with halves up (money) and with halves to even (measurement).

use kernel::{Exact, Money, Rounding};

use super::{cell, rows};

#[test]
fn every_published_rounding() {
    let rows = rows("rounding.csv");
    assert_eq!(rows.len(), 19);
    for row in rows {
        let id = cell(&row, 0);
        let [value, step, expected]: [Exact; 3] = [1, 2, 4].map(|column| cell(&row, column).parse().unwrap());
        let mode = match cell(&row, 3) {
            "half_up" => Rounding::HalfUp,
            "half_even" => Rounding::HalfEven,
            mode => panic!("{id}: {mode} is no mode of these sources"),
        };
        assert_eq!(value.rounded_to(step, mode), Ok(expected), "{id} {row:?}");
    }
}

/// The figures of money law and of the wage regulation are halves up, as money is rounded here.
#[test]
fn money_is_rounded_as_money_law_rounds_it() {
    let dollars = "USD".parse().unwrap();
    let mut compared = 0;
    for row in rows("rounding.csv").iter().filter(|row| cell(row, 3) == "half_up") {
        let amount = Money::from_exact(cell(row, 1).parse().unwrap(), dollars).unwrap();
        assert_eq!(amount.amount_text(), cell(row, 4), "{row:?}");
        compared += 1;
    }
    assert_eq!((compared, Money::ROUNDING), (5, Rounding::HalfUp));
}
