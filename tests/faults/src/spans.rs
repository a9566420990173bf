//! Lengths of time, and what is said of many of them.

use std::time::Duration;

/// Many lengths of time.
#[derive(Clone, Debug, Default)]
pub struct Spans(Vec<Duration>);

impl Spans {
    /// One more.
    pub fn add(&mut self, span: Duration) {
        self.0.push(span);
    }

    /// How many there are.
    pub const fn count(&self) -> usize {
        self.0.len()
    }

    /// The smallest that at least so many of a hundred do not exceed; none where there are none.
    pub fn percentile(&self, hundredths: usize) -> Option<Duration> {
        let mut sorted = self.0.clone();
        sorted.sort_unstable();
        let rank = sorted.len().saturating_mul(hundredths).div_ceil(100).max(1);
        sorted.get(rank - 1).copied()
    }

    /// Median, the span that 99 of 100 do not exceed, and the longest.
    pub fn told(&self) -> String {
        match (self.percentile(50), self.percentile(99), self.percentile(100)) {
            (Some(middle), Some(late), Some(worst)) => {
                format!("median {}, p99 {}, worst {}", told(middle), told(late), told(worst))
            }
            _ => "none".to_owned(),
        }
    }

    /// Median and the longest.
    pub fn told_short(&self) -> String {
        match (self.percentile(50), self.percentile(100)) {
            (Some(middle), Some(worst)) => {
                format!("{} times: median {}, worst {}", self.count(), told(middle), told(worst))
            }
            _ => "never".to_owned(),
        }
    }
}

/// A length of time in words.
pub fn told(span: Duration) -> String {
    match span.as_millis() {
        0..10 => format!("{} µs", span.as_micros()),
        10..10_000 => format!("{} ms", span.as_millis()),
        _ => format!("{} s", span.as_secs()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_are_of_the_spans_themselves() {
        let mut spans = Spans::default();
        assert_eq!(spans.percentile(50), None);
        (1..=100).rev().for_each(|millis| spans.add(Duration::from_millis(millis)));
        let at = |hundredths| spans.percentile(hundredths).map(|span| span.as_millis());
        assert_eq!((at(0), at(50), at(99), at(100)), (Some(1), Some(50), Some(99), Some(100)));
    }
}
