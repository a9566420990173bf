//! A clock that goes with the machine's and can be set ahead of it or behind.

use std::sync::atomic::{AtomicI64, Ordering};

use jiff::{SignedDuration, Timestamp};
use kernel::{Clock, SystemClock};

/// The machine's clock, so many seconds ahead; below zero, behind.
#[derive(Debug, Default)]
pub struct MovedClock(AtomicI64);

impl MovedClock {
    /// Sets it so many seconds ahead of the machine's.
    pub fn set_ahead(&self, seconds: i64) {
        self.0.store(seconds, Ordering::Release);
    }
}

impl Clock for MovedClock {
    fn now(&self) -> Timestamp {
        let now = SystemClock.now();
        let ahead = SignedDuration::from_secs(self.0.load(Ordering::Acquire));
        now.checked_add(ahead).unwrap_or(now)
    }
}
