//! Rates: how often one caller may ask. Each has a bucket that empties with every request and fills with time.
//!
//! The buckets are in the memory of the instance: behind several instances a caller has as many times the rate.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

use kernel::{Clock, OutfitId};

/// Whose bucket it is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Who {
    /// Somebody with a good token: who they are, and for which outfit; operators have none.
    Caller(Option<OutfitId>, String),
    /// Somebody without one: the address they call from, of version 6 its first half, which is one customer's.
    Address(IpAddr),
    /// Everybody for whom there is no bucket left.
    Crowd,
}

impl Who {
    /// Whoever calls from an address.
    #[must_use]
    pub fn at(address: IpAddr) -> Self {
        Self::Address(match address.to_canonical() {
            IpAddr::V6(address) => IpAddr::V6((address.to_bits() & (u128::MAX << 64)).into()),
            address => address,
        })
    }
}

/// How somebody stands after a request.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The name of the policy.
    pub policy: &'static str,
    /// Requests in a minute.
    pub quota: u32,
    /// Requests that are left at once.
    pub left: i64,
    /// Seconds until all of them are there again.
    pub full_in: i64,
    /// Seconds until one is there again, when this one was too many.
    pub wait: Option<i64>,
}

/// One minute, in microseconds.
const WINDOW: i64 = 60_000_000;
/// Buckets at the most; more are shared, so that made-up addresses cannot fill the memory.
const BUCKETS: usize = 100_000;

/// A policy: so many requests in a minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Policy {
    name: &'static str,
    quota: u32,
    /// Microseconds for one request to be there again.
    interval: i64,
    /// Microseconds for all of them.
    burst: i64,
}

impl Policy {
    fn new(name: &'static str, per_minute: u32) -> Self {
        let quota = per_minute.clamp(1, 1_000_000);
        let interval = WINDOW / i64::from(quota);
        Self { name, quota, interval, burst: interval.saturating_mul(i64::from(quota)) }
    }

    /// Takes one request out of a bucket that is full again at `full_at`; answers when it will be now.
    fn take(&self, full_at: i64, now: i64) -> (i64, Standing) {
        // No bucket is emptier than empty: where one seems to be, the clock was set back, and that is nobody's fault.
        let emptiest = now.saturating_add(self.burst);
        let before = if full_at > emptiest { now } else { full_at.max(now) };
        let after = before.saturating_add(self.interval);
        let over = after.saturating_sub(now).saturating_sub(self.burst);
        let (full_at, wait) = if over > 0 { (before, Some(seconds(over))) } else { (after, None) };
        let empty = full_at.saturating_sub(now);
        let standing = Standing {
            policy: self.name,
            quota: self.quota,
            left: self.burst.saturating_sub(empty) / self.interval,
            full_in: seconds(empty),
            wait,
        };
        (full_at, standing)
    }
}

/// Whole seconds, begun ones too.
fn seconds(microseconds: i64) -> i64 {
    microseconds.saturating_add(999_999) / 1_000_000
}

/// The buckets of one instance.
pub struct Rates {
    clock: Arc<dyn Clock>,
    caller: Policy,
    address: Policy,
    /// When each bucket is full again, in microseconds of Unix time.
    buckets: Mutex<HashMap<Who, i64>>,
}

impl std::fmt::Debug for Rates {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Rates").field("caller", &self.caller).field("address", &self.address).finish()
    }
}

impl Rates {
    /// Buckets of so many requests in a minute for callers with a good token, and for addresses without.
    #[must_use]
    pub fn new(clock: Arc<dyn Clock>, per_minute: u32, open_per_minute: u32) -> Self {
        let caller = Policy::new("caller", per_minute);
        let address = Policy::new("address", open_per_minute);
        Self { clock, caller, address, buckets: Mutex::default() }
    }

    /// Counts one request.
    pub fn take(&self, who: Who) -> Standing {
        let policy = if matches!(who, Who::Caller(..)) { self.caller } else { self.address };
        let now = self.clock.now().as_microsecond();
        // A panic elsewhere cannot leave a number half written.
        let mut buckets = self.buckets.lock().unwrap_or_else(PoisonError::into_inner);
        let mut who = who;
        if buckets.len() >= BUCKETS && !buckets.contains_key(&who) {
            // A full bucket says nothing that a missing one does not.
            buckets.retain(|_, full_at| *full_at > now);
            if buckets.len() >= BUCKETS {
                who = Who::Crowd;
            }
        }
        let full_at = buckets.entry(who).or_insert(now);
        let (then, standing) = policy.take(*full_at, now);
        *full_at = then;
        standing
    }
}

#[cfg(test)]
mod tests {
    use jiff::SignedDuration;
    use kernel::SettableClock;
    use proptest::prelude::*;

    use super::*;

    fn rates(per_minute: u32) -> (Arc<SettableClock>, Rates) {
        let clock = Arc::new(SettableClock::at("2031-06-06T18:00:00Z".parse().unwrap()));
        let rates = Rates::new(clock.clone(), per_minute, 2);
        (clock, rates)
    }

    fn caller(name: &str) -> Who {
        Who::Caller(None, name.to_owned())
    }

    #[test]
    fn a_bucket_empties_and_fills() {
        let (clock, rates) = rates(3);
        let left: Vec<_> = (0..3).map(|_| rates.take(caller("a")).left).collect();
        assert_eq!(left, [2, 1, 0]);
        let refused = rates.take(caller("a"));
        assert_eq!((refused.wait, refused.left, refused.full_in), (Some(20), 0, 60));
        assert_eq!(rates.take(caller("b")).wait, None, "each has a bucket of its own");
        clock.advance(SignedDuration::from_secs(19)).unwrap();
        assert_eq!(rates.take(caller("a")).wait, Some(1));
        clock.advance(SignedDuration::from_secs(1)).unwrap();
        assert_eq!(rates.take(caller("a")).wait, None, "being refused costs nothing");
        assert_eq!(rates.take(caller("a")).wait, Some(20));
        clock.advance(SignedDuration::from_hours(1)).unwrap();
        assert_eq!(rates.take(caller("a")).left, 2, "a bucket is never more than full");
    }

    #[test]
    fn a_clock_set_back_shuts_nobody_out_for_long() {
        let (clock, rates) = rates(60);
        assert_eq!(rates.take(caller("a")).wait, None);
        clock.advance(SignedDuration::from_hours(-5)).unwrap();
        assert_eq!(rates.take(caller("a")).left, 59);
        clock.advance(SignedDuration::from_secs(-20)).unwrap();
        assert_eq!(rates.take(caller("a")).wait, None);
    }

    #[test]
    fn addresses_share_a_bucket_where_they_are_one_customers() {
        let at = |text: &str| Who::at(text.parse().unwrap());
        assert_eq!(at("2001:db8:1:2::1"), at("2001:db8:1:2:ffff::9"));
        assert_ne!(at("2001:db8:1:2::1"), at("2001:db8:1:3::1"));
        assert_eq!(at("::ffff:192.0.2.7"), at("192.0.2.7"));
        assert_ne!(at("192.0.2.7"), at("192.0.2.8"));
    }

    #[test]
    fn made_up_addresses_do_not_fill_the_memory() {
        let (clock, rates) = rates(2);
        for number in 0..110_000_u32 {
            rates.take(Who::Address(IpAddr::V4(number.into())));
        }
        assert!(rates.buckets.lock().unwrap().len() <= BUCKETS + 1);
        clock.advance(SignedDuration::from_mins(2)).unwrap();
        rates.take(Who::Address(IpAddr::V4(u32::MAX.into())));
        assert_eq!(rates.buckets.lock().unwrap().len(), 1);
    }

    proptest! {
        /// In any stretch of time no more gets through than one full bucket and what flows in meanwhile.
        #[test]
        fn no_more_gets_through_than_the_policy_says(
            quota in 1_u32..2_000,
            steps in proptest::collection::vec(0_i64..90_000, 1..300),
        ) {
            let (clock, rates) = rates(quota);
            let (mut passed, mut millis) = (0_i64, 0_i64);
            for step in steps {
                clock.advance(SignedDuration::from_millis(step)).unwrap();
                millis += step;
                let standing = rates.take(caller("a"));
                prop_assert!(standing.left >= 0 && standing.left <= i64::from(quota));
                prop_assert!((0..=60).contains(&standing.full_in));
                passed += i64::from(standing.wait.is_none());
                let interval = WINDOW / i64::from(quota);
                prop_assert!(passed <= i64::from(quota) + millis * 1_000 / interval + 1);
            }
        }
    }
}
