//! Small makers shared by the tests of settlement.

use std::fmt::Debug;
use std::str::FromStr;

use kernel::{Currency, Fixed, Money};
use settlement::{LineKey, PieceFacts, RateSummary, RateUnit, Share, Side, Task};

/// Reads a value written as text: a number, a currency, a label.
pub fn read<T: FromStr<Err: Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

/// An id that is known by a small number.
pub fn id<T: FromStr<Err: Debug>>(number: usize) -> T {
    read(&format!("0197a000-0000-7000-8000-{number:012}"))
}

/// The currency of all tests but those about currencies.
pub fn dollars() -> Currency {
    read("USD")
}

/// An amount of dollars from a count of cents.
pub fn cents(cents: i64) -> Money {
    Money::from_minor(cents, dollars())
}

/// A whole number.
pub fn whole(number: i64) -> Fixed {
    Fixed::whole(number).unwrap()
}

/// The last day of one of a few weeks that follow one another.
pub fn week(number: usize) -> jiff::civil::Date {
    jiff::civil::date(2031, 6, 7)
        .checked_add(jiff::Span::new().weeks(i64::try_from(number).unwrap()))
        .unwrap()
}

/// A log with nothing special about it.
pub fn log(number: u16) -> PieceFacts {
    PieceFacts {
        number,
        product: kernel::Product::Log,
        species: "pine".into(),
        grade: Some("1".into()),
        diameter_in: Some(read("10")),
        length_ft: Some(read("16")),
        diameter_cm: None,
        length_m: None,
        volume: Some(settlement::PieceVolume {
            unit: kernel::VolumeUnit::BoardFoot,
            gross: read("60"),
            net: read("40"),
        }),
        cull: false,
        unscaled: None,
    }
}

/// The three rates of the settlement tests: by the thousand, by the piece, by the foot with a fraction of a cent.
pub fn rate(number: u16) -> RateSummary {
    let (unit, price) = match number {
        0 => (RateUnit::ThousandBoardFeet, "9.25"),
        1 => (RateUnit::Piece, "0.48"),
        _ => (RateUnit::LinearFoot, "0.0125"),
    };
    let task = if number == 0 { Task::Felling } else { Task::Hewing };
    let basis = unit.volume_unit().map(|_| settlement::Basis::Net);
    RateSummary { name: read(&format!("rate {number}")), task, unit, basis, price: read(price) }
}

/// A side of the settlement tests: three share sets of two crews, a mill, and a member by himself.
pub fn side(number: usize) -> Side {
    match number {
        0 | 1 => Side::Crew { crew: id(100), share_set: id(200 + number) },
        2 => Side::Crew { crew: id(101), share_set: id(202) },
        3 => Side::Mill { mill: id(300) },
        _ => Side::Member { crew: id(101), worker: id(2) },
    }
}

/// The shares of a side; workers are in more than one of them.
pub fn shares(number: usize) -> Vec<Share> {
    let parts: &[(usize, &str)] = match number {
        0 => &[(1, "1"), (2, "1"), (3, "1")],
        1 => &[(3, "1.5"), (1, "1"), (4, "0")],
        2 => &[(2, "3"), (5, "7")],
        _ => &[],
    };
    parts.iter().map(|(worker, parts)| Share { worker: id(*worker), parts: read(parts) }).collect()
}

/// The key of a week, a rate and a side.
pub fn key(week_number: usize, rate: u16, side_number: usize) -> LineKey {
    LineKey { week: week(week_number), contract: id(400), terms: id(500), rate, side: side(side_number) }
}
