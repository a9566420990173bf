//! Computing a posted week again from the measured facts, beside reading the same rows to nowhere.

use std::pin::pin;
use std::time::{Duration, Instant};

use anyhow::{Result, ensure};
use futures_util::TryStreamExt as _;
use kernel::SettlementId;
use tokio_postgres::Client;

use crate::arguments::Arguments;
use crate::frame::{Frame, process};
use crate::report::{Ratio, Reach, Report, median, milliseconds};
use crate::week::Posted;

/// Three times the reading.
const REACH: Reach = Reach::AtMost(Ratio(300));

/// The tickets of the week, what contracts made of them, and what that comes to by rate.
const READ: [&str; 3] = [
    "SELECT ticket.* FROM ticket JOIN week USING (outfit_id) WHERE scaled_on > week_ends_on - 7 AND scaled_on <= week_ends_on",
    "SELECT derivation.* FROM derivation JOIN ticket USING (outfit_id, ticket_id) JOIN week USING (outfit_id)
     WHERE scaled_on > week_ends_on - 7 AND scaled_on <= week_ends_on",
    "SELECT accrual.* FROM accrual JOIN week USING (outfit_id)
     WHERE scaled_on > week_ends_on - 7 AND scaled_on <= week_ends_on",
];

/// Computes a posted week again and reads its rows, in turn; the medians of all rounds count.
pub async fn measure(
    frame: &Frame,
    posted: &Posted,
    arguments: &Arguments,
    report: &mut Report,
) -> Result<()> {
    let owner = frame.database.connect().await?;
    owner.batch_execute(&format!("SET skidway.outfit = '{}'", posted.outfit)).await?;
    let process = frame.service.process();
    let idle = process::memory(process)?.now;
    process::forget_most(process)?;
    let processor = process::processor_milliseconds(process)?;
    let (mut again, mut read) = (Vec::new(), Vec::new());
    for _ in 0..arguments.rounds {
        read.push(read_to_nowhere(&owner, posted.settlement).await?);
        let start = Instant::now();
        let done = posted.manager.rederive_settlement(posted.settlement, None).await?;
        again.push(start.elapsed());
        ensure!(done.agrees, "a week that nobody touched is not as it was posted");
        ensure!(done.compared.tickets == u64::from(arguments.tickets), "not every ticket was looked at");
    }
    let used = process::processor_milliseconds(process)?.saturating_sub(processor);
    println!(
        "re-deriving: {} ms of the service's processor time a round; {} MB at the most, {} MB before",
        used / u64::from(arguments.rounds),
        process::memory(process)?.most / 1_000_000,
        idle / 1_000_000,
    );
    let (again, read) = (median(again), median(read));
    let ratio = Ratio::of(again.as_millis(), read.as_millis());
    let yardstick = format!("rows copied to nowhere {}", milliseconds(read));
    report.row(&format!("re-deriving a week{}", posted.how), milliseconds(again), yardstick, ratio, REACH);
    Ok(())
}

/// Reads the rows of a week over a connection, and throws them away as they come.
async fn read_to_nowhere(owner: &Client, settled: SettlementId) -> Result<Duration> {
    let start = Instant::now();
    for rows in READ {
        let copy = format!(
            "COPY (WITH week AS MATERIALIZED (SELECT outfit_id, week_ends_on FROM settlement
                                              WHERE settlement_id = '{settled}') {rows}) TO STDOUT"
        );
        let mut coming = pin!(owner.copy_out(copy.as_str()).await?);
        let mut came = 0_u64;
        while coming.try_next().await?.is_some() {
            came += 1;
        }
        ensure!(came > 0, "there was nothing to read");
    }
    Ok(start.elapsed())
}
