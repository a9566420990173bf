//! The same week by what people use instead: settled by the service, and again from the tickets and contracts by programs that
//! know nothing of it. Every cent must be the same; `tests/outside/beside` says what each of them is and prints the times.

use std::fs::File;
use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result, bail, ensure};
use client::{Client, PageQuery, StatementQuery};
use jiff::ToSpan as _;
use kernel::SettlementId;
use serde_json::{Value, json};
use tempfile::TempDir;
use wire::BatchLine;

use crate::arguments::Arguments;
use crate::books::{Books, FIRST_WEEK};
use crate::frame::Frame;
use crate::report::median;
use crate::tickets;

/// How many tickets are sent in one request.
const A_REQUEST: u32 = 5_000;
/// A tool takes seconds for what the rest of the table does in milliseconds; more rounds would tell nothing more.
const MOST_ROUNDS: u8 = 3;

/// Settles a week and has it settled beside.
pub async fn measure(arguments: &Arguments) -> Result<()> {
    let frame = Frame::start().await?;
    let (manager, rounds) = (&frame.books.manager, arguments.rounds.min(MOST_ROUNDS));
    let directory = TempDir::with_prefix("bench-beside-")?;
    let accepted = post(&frame.books, arguments.tickets, directory.path()).await?;
    let (settlement, settled) = settle(manager, rounds).await?;
    let rederived = rederive(manager, settlement, rounds).await?;
    let times = json!({"accepted": accepted.as_millis(), "settled": settled.as_millis(), "rederived": rederived.as_millis()});
    write(directory.path(), "times.json", &times)?;
    write(directory.path(), "contracts.json", &contracts(manager).await?)?;
    let query =
        StatementQuery { settlement_id: Some(settlement), limit: Some(500), ..StatementQuery::default() };
    write(directory.path(), "statements.json", &json!(manager.list_statements(&query).await?.items))?;
    // The tools have the machine to themselves, as the service had.
    drop(frame);
    run(directory.path(), rounds)
}

/// Posts the week in bulk, keeps what was posted, and answers how long the service took to accept it.
async fn post(books: &Books, count: u32, directory: &Path) -> Result<Duration> {
    let mut kept = File::create(directory.join("tickets.ndjson"))?;
    let mut took = Duration::ZERO;
    for first in (1..=count).step_by(usize::try_from(A_REQUEST)?) {
        let lines = tickets::lines(books, FIRST_WEEK, "A", first, count.min(first + A_REQUEST - 1))?;
        kept.write_all(&lines)?;
        let start = Instant::now();
        let answers = books.manager.post_ticket_lines(lines).await?;
        took += start.elapsed();
        if let Some(refused) = answers.iter().find(|answer| matches!(answer, BatchLine::Refused(_))) {
            bail!("a ticket was refused: {refused:?}");
        }
    }
    Ok(took)
}

/// Drafts the week several times and posts the last draft; answers with it and with how long one draft and its posting took.
async fn settle(manager: &Client, rounds: u8) -> Result<(SettlementId, Duration)> {
    let week = serde_json::from_value(json!({ "week_ends_on": FIRST_WEEK }))?;
    let (mut draft, mut drafting) = (None, Vec::new());
    for _ in 0..rounds {
        let start = Instant::now();
        draft = Some(manager.draft_settlement(&week).await?.settlement_id);
        drafting.push(start.elapsed());
    }
    let draft = draft.context("no round, no draft")?;
    let start = Instant::now();
    let _posted = manager.post_settlement(draft).await?;
    Ok((draft, median(drafting) + start.elapsed()))
}

/// Computes the week again from the measured facts.
async fn rederive(manager: &Client, settlement: SettlementId, rounds: u8) -> Result<Duration> {
    let mut took = Vec::new();
    for _ in 0..rounds {
        let start = Instant::now();
        let again = manager.rederive_settlement(settlement, None).await?;
        took.push(start.elapsed());
        ensure!(again.agrees, "a week that nobody touched is not as it was posted");
    }
    Ok(median(took))
}

/// The week, its contracts and how crews share.
async fn contracts(manager: &Client) -> Result<Value> {
    let all = PageQuery { limit: Some(500), ..PageQuery::default() };
    Ok(json!({
        "week": {"begins": FIRST_WEEK.checked_sub(6.days())?, "ends": FIRST_WEEK},
        "contracts": manager.list_contracts(&all).await?.items,
        "crews": manager.list_crews(&all).await?.items,
    }))
}

fn write(directory: &Path, name: &str, content: &Value) -> Result<()> {
    Ok(serde_json::to_writer(File::create(directory.join(name))?, content)?)
}

/// Has the tools run and compared. Where there is no Python, that is said, and nothing is wrong.
fn run(directory: &Path, rounds: u8) -> Result<()> {
    let program = concat!(env!("CARGO_MANIFEST_DIR"), "/../outside/beside/run.py");
    let told = Command::new("python3").arg(program).arg(directory).arg(rounds.to_string()).status();
    match told {
        Ok(ended) => ensure!(ended.success(), "other tools do not come to the same cents: {ended}"),
        Err(error) => {
            println!("the same week beside other tools: skipped, there is no Python here ({error})")
        }
    }
    Ok(())
}
