//! What is printed in the end: each figure beside its yardstick of the same run.

use std::time::Duration;

use crate::table::{Table, hundredths};

/// A ratio in hundredths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ratio(pub u128);

impl Ratio {
    /// How many times `yardstick` a figure is.
    pub fn of(figure: u128, yardstick: u128) -> Self {
        Self((figure * 100 + yardstick / 2).checked_div(yardstick).unwrap_or_default())
    }
}

/// What a ratio is meant to reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// This or more.
    AtLeast(Ratio),
    /// This or less.
    AtMost(Ratio),
}

impl Reach {
    /// Whether a ratio reaches it.
    pub fn is_reached_by(self, ratio: Ratio) -> bool {
        match self {
            Self::AtLeast(limit) => ratio >= limit,
            Self::AtMost(limit) => ratio <= limit,
        }
    }

    fn says(self) -> String {
        match self {
            Self::AtLeast(Ratio(limit)) => format!("at least {}", hundredths(limit)),
            Self::AtMost(Ratio(limit)) => format!("at most {}", hundredths(limit)),
        }
    }
}

/// The table, grown row by row.
pub struct Report {
    table: Table<6>,
}

impl Report {
    /// No rows yet.
    pub fn new() -> Self {
        Self { table: Table::headed(["what", "measured", "yardstick", "ratio", "to reach", "reached"]) }
    }

    /// A figure, what it is held against, the ratio of the two and what that is to reach. Said at once as well, since
    /// the whole takes minutes.
    pub fn row(&mut self, what: &str, measured: String, yardstick: String, ratio: Ratio, reach: Reach) {
        let reached = if reach.is_reached_by(ratio) { "yes" } else { "no" };
        println!("{what}: {measured}, {yardstick}: {} ({}): {reached}", hundredths(ratio.0), reach.says());
        self.table.row([
            what.to_owned(),
            measured,
            yardstick,
            hundredths(ratio.0),
            reach.says(),
            reached.to_owned(),
        ]);
    }

    /// Prints all of it.
    pub fn print(&self) {
        println!();
        for line in self.table.lines() {
            println!("{line}");
        }
    }
}

/// The middle one, the larger of two middle ones; zero of none.
pub fn median<T: Ord + Copy + Default>(mut figures: Vec<T>) -> T {
    figures.sort_unstable();
    figures.get(figures.len() / 2).copied().unwrap_or_default()
}

/// A length of time as it is read: `1 234 ms`.
pub fn milliseconds(time: Duration) -> String {
    format!("{} ms", crate::table::grouped(time.as_millis()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_is_rounded_to_hundredths() {
        assert_eq!([Ratio::of(2, 3), Ratio::of(3, 2), Ratio::of(1, 0)], [Ratio(67), Ratio(150), Ratio(0)]);
    }

    #[test]
    fn a_limit_is_reached_when_it_is_met() {
        let reaches = |reach: Reach| [69, 70, 71].map(|ratio| reach.is_reached_by(Ratio(ratio)));
        assert_eq!(reaches(Reach::AtLeast(Ratio(70))), [false, true, true]);
        assert_eq!(reaches(Reach::AtMost(Ratio(70))), [true, true, false]);
    }

    #[test]
    fn the_median_is_the_middle_figure() {
        assert_eq!(median(vec![9, 1, 5, 1_000, 4]), 5);
        assert_eq!(median(Vec::<u8>::new()), 0);
    }
}
