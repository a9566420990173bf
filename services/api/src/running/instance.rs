//! What an instance of the service knows of itself: its figures, its limits, and whether it is about to stop. Nothing
//! here is a record; all of it is gone when the instance is.

use std::net::IpAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use kernel::Clock;

use super::admission::Admission;
use super::limits::{AddressRange, Limits, caller_address};
use super::metrics::Metrics;
use super::rates::Rates;

/// An instance of the service.
#[derive(Debug)]
pub struct Instance {
    /// What is counted and timed.
    pub metrics: Metrics,
    /// How many requests are worked on at once.
    pub admission: Arc<Admission>,
    /// How often one caller may ask.
    pub rates: Rates,
    trusted_proxies: Vec<AddressRange>,
    draining: AtomicBool,
}

impl Instance {
    /// An instance that has just started.
    ///
    /// # Errors
    ///
    /// When its figures cannot be set up, which is a fault of ours.
    pub fn new(limits: &Limits, clock: Arc<dyn Clock>) -> anyhow::Result<Self> {
        Ok(Self {
            metrics: Metrics::new()?,
            admission: Admission::new(limits.requests, limits.body_bytes),
            rates: Rates::new(clock, limits.rate_per_minute, limits.open_rate_per_minute),
            trusted_proxies: limits.trusted_proxies.clone(),
            draining: AtomicBool::new(false),
        })
    }

    /// Where a request came from, as far as trusted proxies tell.
    #[must_use]
    pub fn caller_address(&self, peer: IpAddr, forwarded_for: &[&str]) -> IpAddr {
        caller_address(peer, forwarded_for, &self.trusted_proxies)
    }

    /// From now on it is not ready: whoever divides the requests is to send them elsewhere.
    pub fn begin_to_drain(&self) {
        self.draining.store(true, Ordering::Release);
    }

    /// Whether it is about to stop.
    #[must_use]
    pub fn is_draining(&self) -> bool {
        self.draining.load(Ordering::Acquire)
    }
}
