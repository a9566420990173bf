//! Lengths on a page, in thousandths of a point (1/72 of an inch): whole numbers, so that no line breaks otherwise on
//! another machine.

/// A length.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Length(i64);

impl Length {
    /// Nothing.
    pub(crate) const ZERO: Self = Self(0);

    /// So many points.
    pub(crate) const fn points(points: i64) -> Self {
        Self::thousandths(points.saturating_mul(1000))
    }

    /// So many thousandths of a point.
    pub(crate) const fn thousandths(thousandths: i64) -> Self {
        Self(thousandths)
    }

    /// Both together.
    pub(crate) const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// What is left without the other; below zero where the other is longer.
    pub(crate) const fn minus(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// So often.
    pub(crate) fn times(self, count: usize) -> Self {
        match i64::try_from(count) {
            Ok(count) => Self(self.0.saturating_mul(count)),
            Err(_) => Self(i64::MAX),
        }
    }

    /// A part of it, cut to a thousandth: `part` of `whole`; all of it where there is no whole.
    pub(crate) fn share(self, part: Self, whole: Self) -> Self {
        let product = i128::from(self.0).saturating_mul(i128::from(part.0));
        match product.checked_div(i128::from(whole.0)) {
            Some(share) => Self(i64::try_from(share).unwrap_or(i64::MAX)),
            None => self,
        }
    }

    /// The advance of so many font units of a letter this high, never cut.
    pub(crate) fn of_units(self, units: i64, units_per_em: i64) -> Self {
        let per_em = i128::from(units_per_em.max(1));
        let product = i128::from(self.0).saturating_mul(i128::from(units));
        let up = product.saturating_add(per_em.saturating_sub(1)).div_euclid(per_em);
        Self(i64::try_from(up).unwrap_or(i64::MAX))
    }

    /// All of them together.
    pub(crate) fn sum(all: impl IntoIterator<Item = Self>) -> Self {
        all.into_iter().fold(Self::ZERO, Self::plus)
    }

    /// The length in points, as the PDF library takes it: read from its decimal text, so that nothing is computed in
    /// binary fractions here.
    pub(crate) fn number(self) -> f32 {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        // Digits with a point between them are always a number.
        format!("{sign}{}.{:03}", size / 1000, size % 1000).parse().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::Length;

    #[test]
    fn a_length_is_the_nearest_number_of_points() {
        for (thousandths, text) in
            [(0, "0"), (1, "0.001"), (-500, "-0.5"), (612_000, "612"), (9_125, "9.125")]
        {
            assert_eq!(Length::thousandths(thousandths).number().to_string(), text);
        }
    }

    #[test]
    fn an_advance_is_never_taken_shorter_than_it_is() {
        assert_eq!(Length::points(10).of_units(465, 1000), Length::thousandths(4650));
        assert_eq!(Length::points(10).of_units(1, 2048), Length::thousandths(5));
    }
}
