//! Computing a posted week again from the measured facts, beside reading the same rows to nowhere.

use std::time::Instant;

use anyhow::{Result, ensure};
use kernel::SettlementId;

use crate::arguments::Arguments;
use crate::frame::Frame;
use crate::report::{Report, milliseconds};

/// Re-derives a posted week.
pub async fn measure(frame: &Frame, settled: SettlementId, _: &Arguments, _: &mut Report) -> Result<()> {
    let start = Instant::now();
    let done = frame.books.manager.rederive_settlement(settled, None).await?;
    ensure!(done.agrees, "a week that nobody touched is not as it was posted");
    println!("re-derived in {}", milliseconds(start.elapsed()));
    Ok(())
}
