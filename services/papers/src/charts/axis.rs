//! Figures and their places along an axis: exact, and cut to a tenth of a unit only where they are drawn.

use kernel::Fixed;

use super::drawing::Tenths;

/// An axis from one figure to another along a stretch of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Axis {
    low: i64,
    high: i64,
    from: Tenths,
    to: Tenths,
}

impl Axis {
    /// An axis that holds these figures and zero, its ends being round figures; `from` is where the low end lies.
    #[must_use]
    pub fn around(figures: impl IntoIterator<Item = Fixed>, from: Tenths, to: Tenths) -> Self {
        let (mut low, mut high) = (0, 0);
        for figure in figures {
            low = low.min(figure.millionths());
            high = high.max(figure.millionths());
        }
        let low = round_above(low.unsigned_abs()).checked_neg().unwrap_or(i64::MIN);
        let high = round_above(high.unsigned_abs());
        // Of nothing at all, too, there must be something to divide by.
        Self { low, high: if low == high { Fixed::STEPS_PER_UNIT } else { high }, from, to }
    }

    /// Where a figure lies, to the nearest tenth below; beyond an end, at that end.
    #[must_use]
    pub fn place(self, figure: Fixed) -> Tenths {
        let figure = i128::from(figure.millionths().clamp(self.low, self.high));
        let (low, high) = (i128::from(self.low), i128::from(self.high));
        let length = i128::from(self.to.0).saturating_sub(i128::from(self.from.0));
        let along = (figure - low) * length / (high - low).max(1);
        self.from.plus(Tenths(i64::try_from(along).unwrap_or(0)))
    }

    /// The figure at its low end: zero, unless something lies below it.
    #[must_use]
    pub const fn low(self) -> Fixed {
        Fixed::from_millionths(self.low)
    }

    /// The figure at its high end.
    #[must_use]
    pub const fn high(self) -> Fixed {
        Fixed::from_millionths(self.high)
    }
}

/// The next figure at or above this one that is one digit but 7 or 9 with zeros after it; zero for zero.
fn round_above(figure: u64) -> i64 {
    if figure == 0 {
        return 0;
    }
    let tens = std::iter::successors(Some(1_i64), |ten| ten.checked_mul(10));
    tens.flat_map(|ten| [1, 2, 3, 4, 5, 6, 8].map(|first| ten.checked_mul(first)))
        .flatten()
        .find(|round| round.unsigned_abs() >= figure)
        .unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fixed(text: &str) -> Fixed {
        text.parse().unwrap()
    }

    #[test]
    fn ends_are_round_figures_around_all_of_it() {
        let ends = |figures: &[&str]| {
            let figures = figures.iter().map(|figure| fixed(figure));
            let axis = Axis::around(figures, Tenths(0), Tenths(100));
            (axis.low().to_string(), axis.high().to_string())
        };
        let pair = |low: &str, high: &str| (low.to_owned(), high.to_owned());
        assert_eq!(ends(&["3", "1201"]), pair("0", "2000"));
        assert_eq!(ends(&["2000"]), pair("0", "2000"));
        assert_eq!(ends(&["2000.000001"]), pair("0", "3000"));
        assert_eq!(ends(&["6500", "801"]), pair("0", "8000"));
        assert_eq!(ends(&["8001"]), pair("0", "10000"));
        assert_eq!(ends(&["0.03"]), pair("0", "0.03"));
        assert_eq!(ends(&["-7", "3"]), pair("-8", "3"));
        assert_eq!(ends(&[]), pair("0", "1"));
        assert_eq!(ends(&["0"]), pair("0", "1"));
        assert_eq!(ends(&["9223372036854.775807"]).1, "9223372036854.775807");
    }

    #[test]
    fn a_figure_lies_in_proportion_and_never_outside() {
        let up = Axis::around([fixed("100")], Tenths(900), Tenths(100));
        assert_eq!(up.place(fixed("0")), Tenths(900));
        assert_eq!(up.place(fixed("25")), Tenths(700));
        assert_eq!(up.place(fixed("100")), Tenths(100));
        assert_eq!(up.place(fixed("1000")), Tenths(100));
        let both = Axis::around([fixed("-100"), fixed("100")], Tenths(0), Tenths(200));
        assert_eq!(both.place(fixed("0")), Tenths(100));
    }
}
