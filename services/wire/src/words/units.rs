//! How quantities and the units of rates are written.

use kernel::Fixed;
use settlement::{Basis, RateUnit};

/// What a rate counts, for one and for more of it.
const fn counted(unit: RateUnit) -> (&'static str, &'static str) {
    match unit {
        RateUnit::ThousandBoardFeet => ("board foot", "board feet"),
        RateUnit::ThousandBoardFeetMile => ("board foot-mile", "board foot-miles"),
        RateUnit::Piece => ("piece", "pieces"),
        RateUnit::LinearFoot => ("linear foot", "linear feet"),
        RateUnit::LinearMetre => ("linear metre", "linear metres"),
        RateUnit::CubicFoot | RateUnit::HundredCubicFeet => ("cubic foot", "cubic feet"),
        RateUnit::CubicMetre => ("cubic metre", "cubic metres"),
        RateUnit::Cord => ("cord", "cords"),
        RateUnit::StackedCubicMetre => ("stacked cubic metre", "stacked cubic metres"),
        RateUnit::Turn => ("turn", "turns"),
        RateUnit::Hour => ("hour", "hours"),
        RateUnit::Day => ("day", "days"),
    }
}

/// What is counted, on which scale, and by how many the price is.
///
/// ```
/// use settlement::{Basis, RateUnit};
/// use wire::words::unit;
/// assert_eq!(unit(RateUnit::ThousandBoardFeet, Some(Basis::Net)), "board feet net, by the thousand");
/// assert_eq!(unit(RateUnit::Piece, None), "pieces");
/// ```
#[must_use]
pub fn unit(unit: RateUnit, basis: Option<Basis>) -> String {
    let mut text = counted(unit).1.to_owned();
    if let Some(basis) = basis {
        text.push(' ');
        text.push_str(basis.name());
    }
    match unit.counted_per_unit() {
        1 => {}
        100 => text.push_str(", by the hundred"),
        1000 => text.push_str(", by the thousand"),
        size => text.push_str(&format!(", by {size}")),
    }
    text
}

/// A quantity with what is counted.
///
/// ```
/// use settlement::RateUnit;
/// use wire::words::quantity;
/// assert_eq!(quantity("1".parse()?, RateUnit::LinearFoot), "1 linear foot");
/// assert_eq!(quantity("0.5".parse()?, RateUnit::Turn), "0.5 turns");
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[must_use]
pub fn quantity(quantity: Fixed, unit: RateUnit) -> String {
    let (one, more) = counted(unit);
    let is_one = quantity.millionths().unsigned_abs() == Fixed::STEPS_PER_UNIT.unsigned_abs();
    format!("{quantity} {}", if is_one { one } else { more })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_say_what_is_counted_on_which_scale_and_how_it_is_priced() {
        let cases = [
            (RateUnit::ThousandBoardFeet, Some(Basis::Net), "board feet net, by the thousand"),
            (RateUnit::HundredCubicFeet, Some(Basis::Gross), "cubic feet gross, by the hundred"),
            (RateUnit::CubicMetre, Some(Basis::Gross), "cubic metres gross"),
            (RateUnit::Cord, Some(Basis::Net), "cords net"),
            (RateUnit::StackedCubicMetre, Some(Basis::Gross), "stacked cubic metres gross"),
            (RateUnit::Piece, None, "pieces"),
            (RateUnit::Turn, None, "turns"),
        ];
        for (rate, basis, text) in cases {
            assert_eq!(unit(rate, basis), text);
        }
        assert_eq!(quantity("1".parse().unwrap(), RateUnit::LinearFoot), "1 linear foot");
        assert_eq!(quantity("-1".parse().unwrap(), RateUnit::Piece), "-1 piece");
        assert_eq!(quantity("1".parse().unwrap(), RateUnit::Cord), "1 cord");
    }
}
