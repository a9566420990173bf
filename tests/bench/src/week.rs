//! Settling a week: the preview and the posting, beside the plain sum over the same accruals, and beside themselves
//! without history.

use std::time::Instant;

use anyhow::Result;
use kernel::SettlementId;

use crate::arguments::Arguments;
use crate::books::FIRST_WEEK;
use crate::frame::Frame;
use crate::report::{Report, milliseconds};
use crate::tickets;

/// Works a week, settles it, and answers with the posted settlement.
pub async fn measure(frame: &Frame, arguments: &Arguments, _report: &mut Report) -> Result<SettlementId> {
    let start = Instant::now();
    tickets::load(&frame.books, FIRST_WEEK, arguments.tickets).await?;
    println!("{} tickets loaded in {}", arguments.tickets, milliseconds(start.elapsed()));
    let start = Instant::now();
    let settled = frame.books.settle(FIRST_WEEK).await?;
    println!("settled in {}", milliseconds(start.elapsed()));
    Ok(settled)
}
