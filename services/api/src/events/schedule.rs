//! When an event that was not taken is sent again, and when it is given up.

use jiff::{SignedDuration, Timestamp};
use wire::AttemptOutcome;

use super::sending::Answer;

/// How long to wait after each sending that failed; the first is at once. As Standard Webhooks 1.0.0 advises: ten
/// sendings, over three days and more.
pub const PAUSES: [SignedDuration; 9] = [
    SignedDuration::from_secs(5),
    SignedDuration::from_mins(5),
    SignedDuration::from_mins(30),
    SignedDuration::from_hours(2),
    SignedDuration::from_hours(5),
    SignedDuration::from_hours(10),
    SignedDuration::from_hours(14),
    SignedDuration::from_hours(20),
    SignedDuration::from_hours(24),
];

/// Whoever asks us to go slower is left alone for so long at the least.
const SLOWER: SignedDuration = SignedDuration::from_mins(1);
/// Nobody can ask us to stay away for longer than this.
const LONGEST_ASKED: SignedDuration = SignedDuration::from_hours(24);

/// What follows from an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// The tool has it.
    Delivered,
    /// It is sent again, not before this.
    Again(Timestamp),
    /// It was the last time.
    GivenUp,
    /// The tool is gone: nothing more is sent to it.
    Ended,
}

/// What follows from the answer to the sending with this number, counted from 1.
///
/// `chance` is any random number: up to a fifth is added to the pause by it, so that tools which failed together do not
/// all come back at once.
///
/// ```
/// use api::events::schedule::{Next, after};
/// use api::events::sending::Answer;
/// let now = "2031-06-09T12:00:00Z".parse()?;
/// assert_eq!(after(1, Answer::of(200), now, 0), Next::Delivered);
/// assert_eq!(after(1, Answer::of(500), now, 0), Next::Again("2031-06-09T12:00:05Z".parse()?));
/// assert_eq!(after(10, Answer::of(500), now, 0), Next::GivenUp);
/// assert_eq!(after(1, Answer::of(410), now, 0), Next::Ended);
/// # Ok::<(), jiff::Error>(())
/// ```
#[must_use]
pub fn after(number: u16, answer: Answer, now: Timestamp, chance: u16) -> Next {
    let outcome = answer.outcome();
    match outcome {
        AttemptOutcome::Delivered => return Next::Delivered,
        AttemptOutcome::Gone => return Next::Ended,
        _ => {}
    }
    let place = usize::from(number).saturating_sub(1);
    let Some(pause) = PAUSES.get(place) else { return Next::GivenUp };
    let pause = if outcome == AttemptOutcome::Throttled { (*pause).max(SLOWER) } else { *pause };
    let asked = match answer {
        Answer::Status { retry_after: Some(asked), .. } => {
            SignedDuration::try_from(asked).unwrap_or(LONGEST_ASKED).min(LONGEST_ASKED)
        }
        _ => SignedDuration::ZERO,
    };
    let spread = pause.as_millis() * i128::from(chance) / (5 * i128::from(u16::MAX));
    let spread = SignedDuration::from_millis(i64::try_from(spread).unwrap_or_default());
    // At the end of the calendar there is no later any more.
    let again = now.checked_add(pause.max(asked)).and_then(|at| at.checked_add(spread));
    again.map_or(Next::GivenUp, Next::Again)
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    fn pause(number: u16, answer: Answer, chance: u16) -> Option<SignedDuration> {
        let now = Timestamp::from_second(1_000_000).unwrap();
        match after(number, answer, now, chance) {
            Next::Again(at) => Some(at.duration_since(now)),
            _ => None,
        }
    }

    #[test]
    fn pauses_grow_as_the_standard_advises() {
        let seconds: Vec<_> =
            (1..=9).map(|number| pause(number, Answer::of(500), 0).unwrap().as_secs()).collect();
        assert_eq!(seconds, [5, 300, 1_800, 7_200, 18_000, 36_000, 50_400, 72_000, 86_400]);
        assert_eq!(pause(10, Answer::of(500), 0), None);
    }

    #[test]
    fn chance_adds_a_fifth_at_the_most() {
        assert_eq!(pause(2, Answer::NoAnswer, 0), Some(SignedDuration::from_secs(300)));
        assert_eq!(pause(2, Answer::NoAnswer, u16::MAX), Some(SignedDuration::from_secs(360)));
    }

    #[test]
    fn who_asks_for_time_gets_it_within_reason() {
        let asked =
            |status, seconds| Answer::Status { status, retry_after: Some(Duration::from_secs(seconds)) };
        assert_eq!(pause(1, Answer::of(429), 0), Some(SignedDuration::from_mins(1)));
        assert_eq!(pause(1, Answer::of(502), 0), Some(SignedDuration::from_mins(1)));
        assert_eq!(pause(1, asked(429, 600), 0), Some(SignedDuration::from_mins(10)));
        assert_eq!(pause(1, asked(503, 600), 0), Some(SignedDuration::from_mins(10)));
        assert_eq!(pause(2, asked(503, 1), 0), Some(SignedDuration::from_mins(5)));
        assert_eq!(pause(1, asked(503, u64::MAX), 0), Some(SignedDuration::from_hours(24)));
        assert_eq!(pause(10, asked(429, 1), 0), None);
    }

    #[test]
    fn only_two_hundreds_are_deliveries() {
        let now = Timestamp::UNIX_EPOCH;
        for status in [200, 201, 204, 299] {
            assert_eq!(after(3, Answer::of(status), now, 0), Next::Delivered);
        }
        for status in [100, 300, 301, 304, 307, 400, 404, 409, 500, 503] {
            assert!(matches!(after(3, Answer::of(status), now, 0), Next::Again(_)), "{status}");
        }
        assert_eq!(after(1, Answer::of(410), now, 0), Next::Ended);
    }
}
