//! What an instance of the service knows of itself: its figures, its limits, and whether it is about to stop. Nothing
//! here is a record; all of it is gone when the instance is.

use std::net::IpAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use kernel::{Clock, Entropy};

use super::admission::Admission;
use super::limits::{AddressRange, Limits, caller_address};
use super::metrics::Metrics;
use super::rates::Rates;
use super::reading::Reading;

/// An instance of the service.
pub struct Instance {
    /// What is counted and timed.
    pub metrics: Metrics,
    /// How many requests are worked on at once.
    pub admission: Arc<Admission>,
    /// How often one caller may ask.
    pub rates: Rates,
    /// How long it waits for a body.
    pub body_wait: std::time::Duration,
    /// What its own desk shows to be known by.
    pub desk_pass: String,
    /// What it knows of how old the books are; only where it only reads.
    pub reading: Option<Reading>,
    trusted_proxies: Vec<AddressRange>,
    draining: AtomicBool,
}

impl std::fmt::Debug for Instance {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Instance").field("draining", &self.draining).finish_non_exhaustive()
    }
}

impl Instance {
    /// An instance that has just started.
    ///
    /// # Errors
    ///
    /// When its figures cannot be set up, which is a fault of ours.
    pub fn new(limits: &Limits, clock: Arc<dyn Clock>, entropy: &dyn Entropy) -> anyhow::Result<Self> {
        let mut pass = [0; 32];
        entropy.fill(&mut pass);
        Ok(Self {
            desk_pass: kernel::hexadecimal(&pass),
            metrics: Metrics::new()?,
            admission: Admission::new(limits.requests, limits.body_bytes),
            rates: Rates::new(clock, limits.rate_per_minute, limits.open_rate_per_minute),
            body_wait: limits.body_wait,
            reading: None,
            trusted_proxies: limits.trusted_proxies.clone(),
            draining: AtomicBool::new(false),
        })
    }

    /// Whether a request that shows this pass comes from this instance's own desk. The time it takes does not tell how
    /// much of it was right.
    #[must_use]
    pub fn is_own_desk(&self, pass: &[u8]) -> bool {
        aws_lc_rs::constant_time::verify_slices_are_equal(self.desk_pass.as_bytes(), pass).is_ok()
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
