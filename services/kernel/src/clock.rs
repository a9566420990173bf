//! Time and randomness as things that are passed in, so that tests can hold both still.

use std::sync::Mutex;

use jiff::{SignedDuration, Timestamp};

/// Where the time comes from.
///
/// Times are cut to whole microseconds, because that is what the database keeps: what is stored is what was
/// returned.
pub trait Clock: Send + Sync {
    /// The time now, in whole microseconds.
    fn now(&self) -> Timestamp;
}

/// The machine's own clock.
///
/// ```
/// use kernel::{Clock, SystemClock};
/// assert_eq!(SystemClock.now().as_nanosecond() % 1_000, 0);
/// ```
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    #[expect(clippy::disallowed_methods, reason = "the one place that asks the machine for the time")]
    fn now(&self) -> Timestamp {
        whole_microseconds(Timestamp::now())
    }
}

fn whole_microseconds(time: Timestamp) -> Timestamp {
    Timestamp::from_microsecond(time.as_microsecond()).unwrap_or(time)
}

/// A clock that stands still until it is moved; for tests and for the demonstration.
///
/// ```
/// use kernel::{Clock, SettableClock};
/// let clock = SettableClock::at("2031-06-06T18:00:00Z".parse()?);
/// clock.advance(jiff::SignedDuration::from_hours(2))?;
/// assert_eq!(clock.now().to_string(), "2031-06-06T20:00:00Z");
/// # Ok::<(), jiff::Error>(())
/// ```
#[derive(Debug)]
pub struct SettableClock(Mutex<Timestamp>);

impl SettableClock {
    /// A clock standing at `time`.
    #[must_use]
    pub fn at(time: Timestamp) -> Self {
        Self(Mutex::new(whole_microseconds(time)))
    }

    /// Moves the hands to `time`.
    pub fn set(&self, time: Timestamp) {
        *self.hands() = whole_microseconds(time);
    }

    /// Moves the hands on by `span`.
    ///
    /// # Errors
    ///
    /// When the time would leave the calendar (the year 9999).
    pub fn advance(&self, span: SignedDuration) -> Result<(), jiff::Error> {
        let mut hands = self.hands();
        *hands = whole_microseconds(hands.checked_add(span)?);
        Ok(())
    }

    /// A panic elsewhere cannot leave a timestamp half written, so a poisoned lock is still good.
    fn hands(&self) -> std::sync::MutexGuard<'_, Timestamp> {
        self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

impl Clock for SettableClock {
    fn now(&self) -> Timestamp {
        *self.hands()
    }
}

/// Where random bytes come from.
pub trait Entropy: Send + Sync {
    /// Fills `bytes` with random ones.
    fn fill(&self, bytes: &mut [u8]);
}

/// The operating system's random bytes.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemEntropy;

impl Entropy for SystemEntropy {
    fn fill(&self, bytes: &mut [u8]) {
        // A machine that cannot give random bytes cannot make ids or keys; there is nothing to fall back on.
        #[expect(clippy::expect_used, reason = "no safe way on without random bytes")]
        getrandom::fill(bytes).expect("the operating system gives random bytes");
    }
}
