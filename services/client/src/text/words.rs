//! How units, money and dates are written on paper.

use jiff::civil::Date;
use kernel::{Fixed, Product, VolumeUnit};
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

/// What is counted, on which scale, and by how many the price is: `board feet net, by the thousand`.
pub(crate) fn unit(unit: RateUnit, basis: Option<Basis>) -> String {
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
pub(crate) fn quantity(quantity: Fixed, unit: RateUnit) -> String {
    let (one, more) = counted(unit);
    let is_one = quantity.millionths().unsigned_abs() == Fixed::STEPS_PER_UNIT.unsigned_abs();
    format!("{quantity} {}", if is_one { one } else { more })
}

/// The unit of a volume.
pub(crate) const fn volume_unit(unit: VolumeUnit) -> &'static str {
    unit.words()
}

/// A kind of timber.
pub(crate) const fn product(product: Product) -> &'static str {
    product.words()
}

/// A day with its weekday.
pub(crate) fn day(date: Date) -> String {
    date.strftime("%A %Y-%m-%d").to_string()
}

/// A count with its noun.
pub(crate) fn count(count: impl TryInto<i64>, one: &str, more: &str) -> String {
    let count = count.try_into().unwrap_or(i64::MAX);
    format!("{count} {}", if count == 1 { one } else { more })
}

/// What every paper about pay says of itself, where the service does not say it.
pub(crate) const CAUTION: &str = "This is arithmetic from the recorded scale and the contracts' rates, not legal \
advice. What must be paid, and who may scale, is for local law and licensed professionals to decide.";

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
        assert_eq!(quantity("0.5".parse().unwrap(), RateUnit::Turn), "0.5 turns");
    }

    #[test]
    fn a_day_has_its_weekday() {
        assert_eq!(day(jiff::civil::date(2031, 6, 7)), "Saturday 2031-06-07");
    }
}
