//! How long a name has to wait after failed tries to sign in.

use jiff::{SignedDuration, Timestamp};
use storage::SignInAttempt;

/// Failures in a row that cost nothing.
const FREE: usize = 5;
/// The longest wait, in minutes.
const LONGEST: i64 = 60;
/// How many of the newest tries decide: with so many failures the wait has long been the longest.
pub const DECIDING: u16 = 12;

/// Until when nobody may try again: after five failures in a row a minute, and twice as long after each further one,
/// up to an hour. `newest` comes newest first. One success, and everything is forgotten.
#[must_use]
pub fn locked_until(newest: &[SignInAttempt]) -> Option<Timestamp> {
    let failures = newest.iter().take_while(|attempt| !attempt.succeeded).count();
    let doublings = u32::try_from(failures.checked_sub(FREE)?).ok()?;
    let minutes = 1_i64.checked_shl(doublings.min(16))?.min(LONGEST);
    newest.first()?.at.checked_add(SignedDuration::from_mins(minutes)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tries(outcomes: &[bool]) -> Vec<SignInAttempt> {
        let at = "2031-06-07T12:00:00Z".parse().unwrap();
        outcomes.iter().map(|succeeded| SignInAttempt { at, succeeded: *succeeded }).collect()
    }

    #[test]
    fn waits_double_up_to_an_hour() {
        let minutes = |failures: usize| {
            let newest = tries(&vec![false; failures]);
            locked_until(&newest).map(|until| until.duration_since(newest[0].at).as_mins())
        };
        let waits: Vec<_> = (0..=12).map(minutes).collect();
        let expected = [1, 2, 4, 8, 16, 32, 60, 60].map(Some);
        assert_eq!(waits[..5], [None; 5]);
        assert_eq!(waits[5..], expected);
    }

    #[test]
    fn a_success_ends_the_row() {
        let four = [false, false, false, false, true, false, false];
        assert_eq!(locked_until(&tries(&four)), None);
        assert!(locked_until(&tries(&[false, false, false, false, false, true])).is_some());
        assert_eq!(locked_until(&tries(&[true, false, false, false, false, false, false])), None);
    }
}
