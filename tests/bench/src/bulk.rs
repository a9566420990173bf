//! Many tickets in one request, a line each: how fast, in how much memory, and how much disk they take.

use std::time::{Duration, Instant};

use anyhow::{Result, ensure};

use crate::arguments::Arguments;
use crate::books::FIRST_WEEK;
use crate::frame::{Frame, connection, process};
use crate::report::{Ratio, Reach, Report, median, milliseconds};
use crate::table::{grouped, hundredths};
use crate::tickets::{self, LOGS};
use crate::yardsticks::pgbench::Pace;
use crate::yardsticks::recorded;

/// How many tickets share a transaction in the service.
const TOGETHER: u32 = 100;
/// How many tickets a timed round sends.
const A_ROUND: u32 = 4_000;
/// How many requests are made at once: as many as the machine has processors in earnest.
const AT_ONCE: u8 = 2;

/// Measures all three.
pub async fn measure(frame: &Frame, arguments: &Arguments, report: &mut Report) -> Result<()> {
    let idle = process::memory(frame.service.process())?;
    let many = arguments.many;
    let before = size(frame).await?;
    // Made while they are sent, so that they do not lie in memory.
    let (took, facts) = send(frame, &manager(frame)?, many, portions(frame, "Many", 1, many)).await?;
    println!("{} tickets in one request: {}", grouped(many.into()), milliseconds(took));
    let after = process::memory(frame.service.process())?;
    let megabytes = |bytes: u64| format!("{} MB", bytes / 1_000_000);
    let what = format!("memory of the service at the most while {} tickets came", grouped(many.into()));
    let limit = 200_000_000;
    let idle_says = format!("idle {}, limit {}", megabytes(idle.now), megabytes(limit));
    let ratio = Ratio::of(after.most.into(), limit.into());
    report.row(&what, megabytes(after.most), idle_says, ratio, Reach::AtMost(Ratio(100)));
    let disk = size(frame).await? - before;
    tell_where(frame).await?;
    let pieces = u128::from(many) * u128::try_from(LOGS)?;
    let for_million = |bytes: u64| (u128::from(bytes) * 1_000_000).checked_div(pieces).unwrap_or_default();
    let says = |bytes: u64| format!("{} MB", for_million(bytes) / 1_000_000);
    report.row(
        "disk for a million pieces, with all indexes",
        says(disk),
        format!("facts as compact JSON {}", says(facts)),
        Ratio::of(disk.into(), facts.into()),
        Reach::AtMost(Ratio(150)),
    );
    pace(frame, arguments, report).await
}

async fn pace(frame: &Frame, arguments: &Arguments, report: &mut Report) -> Result<()> {
    let post = async |numbers: Vec<u32>| {
        let mut lines = Vec::new();
        for number in numbers {
            lines.extend(tickets::lines(&frame.books, FIRST_WEEK, "Recorded", number, number)?);
        }
        frame.books.manager.post_ticket_lines(lines).await?;
        Ok(())
    };
    let numbers = |first: u32| (first..first + TOGETHER).collect::<Vec<_>>();
    let mut same =
        recorded::script(&frame.database, post, [numbers(900_000_100), numbers(900_000_300)]).await?;
    let url = frame.database.url();
    let (mut with_same, mut ours) = (Vec::new(), Vec::new());
    for round in 0..u32::from(arguments.rounds) {
        let transactions = same.run(&url, AT_ONCE, arguments.seconds)?;
        with_same.push(Pace(transactions.0 * u64::from(TOGETHER)));
        let half = A_ROUND / u32::from(AT_ONCE);
        // Made before it begins: what is measured is the service.
        let made =
            |name: &str| portions(frame, &format!("Round {round}, {name}"), 1, half).collect::<Vec<_>>();
        let (first, second) = (made("first"), made("second"));
        let token = manager(frame)?;
        let start = Instant::now();
        tokio::try_join!(
            send(frame, &token, half, first.into_iter()),
            send(frame, &token, half, second.into_iter())
        )?;
        let passed = start.elapsed().as_micros();
        ours.push(Pace(u64::try_from(u128::from(A_ROUND) * 1_000_000_000 / passed)?));
    }
    let (same, ours) = (median(with_same), median(ours));
    let says = |pace: Pace| format!("{}/s", hundredths(u128::from(pace.0) / 10));
    report.row(
        "tickets posted in bulk, two requests at once",
        says(ours),
        format!("the same SQL by pgbench {}", says(same)),
        Ratio::of(ours.0.into(), same.0.into()),
        Reach::AtLeast(Ratio(60)),
    );
    Ok(())
}

/// A token of the outfit's manager.
fn manager(frame: &Frame) -> Result<String> {
    frame.service.token("manager", &["--outfit", &frame.books.outfit.to_string()])
}

/// Tickets of a book, as many lines at a time as share a transaction.
fn portions(
    frame: &Frame,
    book: &str,
    first: u32,
    count: u32,
) -> impl Iterator<Item = Result<Vec<u8>>> + Send + use<> {
    let (books, book) = (frame.books.clone(), book.to_owned());
    let step = usize::try_from(TOGETHER).unwrap_or(usize::MAX);
    (first..first + count).step_by(step).map(move |next| {
        let last = (next + TOGETHER).min(first + count) - 1;
        tickets::lines(&books, FIRST_WEEK, &book, next, last)
    })
}

/// Sends tickets in one request; answers with how long it took and with the size of what was measured on them as compact
/// JSON.
async fn send(
    frame: &Frame,
    token: &str,
    count: u32,
    mut portions: impl Iterator<Item = Result<Vec<u8>>> + Send + 'static,
) -> Result<(Duration, u64)> {
    let address = frame.service.address();
    let token = token.to_owned();
    let sending = tokio::task::spawn_blocking(move || {
        let start = Instant::now();
        let mut facts = 0;
        let end = connection::stream(address, "/v1/ticket-batches", &token, || {
            let lines = portions.next().transpose()?;
            facts += u64::try_from(lines.as_ref().map_or(0, Vec::len))?;
            Ok(lines)
        })?;
        ensure!(end.contains(&format!("\"accepted\":{count},")), "not all were accepted: {end}");
        Ok((start.elapsed(), facts))
    });
    sending.await?
}

/// Which tables take most of it.
async fn tell_where(frame: &Frame) -> Result<()> {
    let database = frame.database.connect().await?;
    let largest = "SELECT relname::text, pg_table_size(oid), pg_indexes_size(oid) FROM pg_class \
                   WHERE relkind = 'r' ORDER BY pg_total_relation_size(oid) DESC LIMIT 5";
    for row in database.query(largest, &[]).await? {
        let (name, rows, indexes): (String, i64, i64) = (row.try_get(0)?, row.try_get(1)?, row.try_get(2)?);
        println!("  {name}: rows {} MB, indexes {} MB", rows / 1_000_000, indexes / 1_000_000);
    }
    Ok(())
}

/// What the database takes on disk.
async fn size(frame: &Frame) -> Result<u64> {
    let database = frame.database.connect().await?;
    database.batch_execute("CHECKPOINT").await.ok();
    let row = database.query_one("SELECT pg_database_size(current_database())", &[]).await?;
    Ok(u64::try_from(row.try_get::<_, i64>(0)?)?)
}
