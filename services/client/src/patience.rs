//! How often to try, and how long to wait in between.

use std::time::Duration;

/// How often a request is sent when the service does not answer, and how long to wait in between.
///
/// Every request can be sent twice without harm: a ticket is known by its book and number, a settlement by its draft, and
/// whatever else is kept carries a key that a repeat is known by.
///
/// ```
/// use std::time::Duration;
/// use client::Patience;
/// let patience = Patience { tries: 3, first_pause: Duration::from_millis(100), longest_pause: Duration::from_secs(1) };
/// assert_eq!(patience.pause_after(1, None), Some(Duration::from_millis(100)));
/// assert_eq!(patience.pause_after(2, None), Some(Duration::from_millis(200)));
/// assert_eq!(patience.pause_after(3, None), None); // that was the last
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patience {
    /// How often it is sent at the most; 0 counts as 1.
    pub tries: u32,
    /// The pause after the first try; each one after it is twice as long.
    pub first_pause: Duration,
    /// No pause is longer than this, whatever the service asks for.
    pub longest_pause: Duration,
}

impl Patience {
    /// One try and no waiting.
    pub const NONE: Self = Self { tries: 1, first_pause: Duration::ZERO, longest_pause: Duration::ZERO };

    /// How long to wait after the try of this number, from 1; none when it was the last. When the service asked for a
    /// longer pause, that one holds, up to the longest.
    #[must_use]
    pub fn pause_after(&self, number: u32, asked: Option<Duration>) -> Option<Duration> {
        if number >= self.tries {
            return None;
        }
        let doublings = number.saturating_sub(1).min(16);
        let own = self.first_pause.saturating_mul(1 << doublings);
        Some(own.max(asked.unwrap_or_default()).min(self.longest_pause))
    }
}

impl Default for Patience {
    /// Four tries within about two seconds, or longer when the service asks for it.
    fn default() -> Self {
        Self { tries: 4, first_pause: Duration::from_millis(250), longest_pause: Duration::from_secs(5) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pauses_grow_up_to_the_longest_and_tries_are_bounded() {
        let patience = Patience { tries: 8, ..Patience::default() };
        let pauses: Vec<_> = (1..=8).map(|number| patience.pause_after(number, None)).collect();
        let millis: Vec<_> = pauses.iter().map(|pause| pause.map(|pause| pause.as_millis())).collect();
        let expected = [250, 500, 1000, 2000, 4000, 5000, 5000].map(Some);
        assert_eq!(millis[..7], expected);
        assert_eq!(millis[7], None);
        assert_eq!(
            Patience { tries: u32::MAX, ..patience }.pause_after(4_000_000, None).unwrap().as_secs(),
            5
        );
    }

    #[test]
    fn the_service_may_ask_for_more_but_not_for_ever() {
        let patience = Patience::default();
        assert_eq!(patience.pause_after(1, Some(Duration::from_secs(2))), Some(Duration::from_secs(2)));
        assert_eq!(patience.pause_after(1, Some(Duration::from_secs(900))), Some(Duration::from_secs(5)));
        assert_eq!(Patience::NONE.pause_after(1, Some(Duration::from_secs(2))), None);
    }
}
