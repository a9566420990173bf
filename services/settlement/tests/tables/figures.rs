//! Amounts, divisions and weeks at their edges.

use jiff::civil::{Date, Weekday, date};
use kernel::{Fixed, Money, MoneyError, NumberError};
use settlement::{Basis, RateUnit, SplitError, Task, Week, amount, split, week_ending};

use crate::common::{cents, dollars, read};

#[test]
fn an_amount_is_rounded_once_to_the_smallest_unit() {
    let table = [
        ("1250", "9.25", RateUnit::ThousandBoardFeet, "USD", "11.56"),
        ("1", "0.005", RateUnit::Piece, "USD", "0.01"),
        ("1", "0.004999", RateUnit::Piece, "USD", "0.00"),
        ("-1", "0.005", RateUnit::Piece, "USD", "-0.01"),
        ("3", "0.125", RateUnit::LinearFoot, "USD", "0.38"),
        ("250", "38", RateUnit::HundredCubicFeet, "USD", "95.00"),
        ("2.345678", "10", RateUnit::CubicMetre, "USD", "23.46"),
        ("1.06", "3.25", RateUnit::Cord, "USD", "3.45"), // 3.445, a half
        ("2.4", "1.1", RateUnit::StackedCubicMetre, "CAD", "2.64"),
        ("2.345678", "10", RateUnit::CubicMetre, "JPY", "23"),
        ("2.345678", "10", RateUnit::CubicMetre, "KWD", "23.457"),
        ("1", "0.5", RateUnit::Turn, "JPY", "1"),
        ("0", "14", RateUnit::Turn, "USD", "0.00"),
        ("12", "0.3333", RateUnit::CubicFoot, "USD", "4.00"),
    ];
    for (quantity, price, unit, currency, expected) in table {
        let amount = amount(read(quantity), read(price), unit, read(currency)).unwrap();
        assert_eq!(amount.amount_text(), expected, "{quantity} at {price} a {unit}");
    }
}

#[test]
fn an_amount_too_large_is_refused() {
    let most = Fixed::from_millionths(i64::MAX);
    let refused = amount(most, most, RateUnit::Piece, dollars());
    assert_eq!(refused, Err(MoneyError::Number(NumberError::TooLarge)));
}

/// An amount in cents, the parts, and the shares in cents or the refusal.
type Division = (i64, &'static [&'static str], Result<&'static [i64], SplitError>);

#[test]
fn divisions_at_their_edges() {
    let table: [Division; 12] = [
        (100, &["1"], Ok(&[100])),
        (0, &["1", "2"], Ok(&[0, 0])),
        (100, &["0", "1", "0"], Ok(&[0, 100, 0])),
        (1, &["0", "1", "1"], Ok(&[0, 1, 0])),
        (-1, &["1", "2"], Ok(&[0, -1])),
        (2, &["1", "1", "1"], Ok(&[1, 1, 0])),
        (100, &["0.000001", "0.000002"], Ok(&[33, 67])),
        (i64::MAX, &["1", "1"], Ok(&[4_611_686_018_427_387_904, 4_611_686_018_427_387_903])),
        (100, &[], Err(SplitError::NoParts)),
        (0, &["0"], Err(SplitError::AllZero)),
        (100, &["1", "-1"], Err(SplitError::NegativePart { position: 1, part: kernel::Exact::of(-1) })),
        (i64::MIN, &["1"], Err(SplitError::Number(NumberError::TooLarge))),
    ];
    for (whole, parts, expected) in table {
        let parts: Vec<kernel::Exact> = parts.iter().map(|part| read(part)).collect();
        let shares = split(cents(whole), &parts);
        let shares = shares.map(|shares| shares.into_iter().map(Money::minor).collect::<Vec<_>>());
        assert_eq!(shares, expected.map(<[i64]>::to_vec), "{whole} by {parts:?}");
    }
}

#[test]
fn a_week_ends_on_the_day_the_outfit_says() {
    // 2031-06-04 is a Wednesday.
    let table = [
        (Weekday::Wednesday, date(2031, 6, 4)),
        (Weekday::Thursday, date(2031, 6, 5)),
        (Weekday::Friday, date(2031, 6, 6)),
        (Weekday::Saturday, date(2031, 6, 7)),
        (Weekday::Sunday, date(2031, 6, 8)),
        (Weekday::Monday, date(2031, 6, 9)),
        (Weekday::Tuesday, date(2031, 6, 10)),
    ];
    for (ends_on, expected) in table {
        assert_eq!(week_ending(date(2031, 6, 4), ends_on), expected);
        let week = Week::containing(date(2031, 6, 4), ends_on);
        assert!(week.contains(date(2031, 6, 4)));
        assert_eq!(week.first_day().until(week.last_day()).unwrap().get_days(), 6);
        assert_eq!(Week::ending(expected), week);
    }
}

#[test]
fn the_calendar_ends_and_no_week_panics() {
    assert_eq!(week_ending(Date::MAX, Weekday::Thursday), Date::MAX);
    assert_eq!(Week::ending(Date::MIN).first_day(), Date::MIN);
}

#[test]
fn names_are_those_of_json() {
    for task in Task::ALL {
        assert_eq!(serde_json::to_value(task).unwrap(), task.name());
    }
    for unit in RateUnit::ALL {
        assert_eq!(serde_json::to_value(unit).unwrap(), unit.name());
    }
    for basis in [Basis::Gross, Basis::Net] {
        assert_eq!(serde_json::to_value(basis).unwrap(), basis.name());
    }
    assert!(Task::ALL.is_sorted() && RateUnit::ALL.is_sorted());
}
