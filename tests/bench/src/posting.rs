//! One ticket of forty logs posted over HTTP, eight connections at once, beside pgbench.

use std::net::SocketAddr;
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Result, anyhow, ensure};

use crate::arguments::Arguments;
use crate::books::{Books, FIRST_WEEK};
use crate::frame::connection::{self, Connection};
use crate::frame::{Frame, process};
use crate::report::{Ratio, Reach, Report, median};
use crate::table::hundredths;
use crate::tickets;
use crate::yardsticks::pgbench::Pace;
use crate::yardsticks::{recorded, rows};

/// How many ask at once.
const CONNECTIONS: u8 = 8;
/// How many tickets are written for a connection and a second beforehand: more than can be posted.
const A_SECOND: u32 = 400;

/// What a round of posting came to.
struct Round {
    pace: Pace,
    /// How long answers took: half of them at the most, and all but a hundredth.
    median: Duration,
    slow: Duration,
    /// Processor time of the service for each ticket, in microseconds.
    processor: u64,
}

/// Measures both yardsticks and the service in turn.
pub async fn measure(frame: &Frame, arguments: &Arguments, report: &mut Report) -> Result<()> {
    let _first = frame.books.sign_in("posting-scaler", "scaler").await?;
    let address = frame.service.address();
    let url = frame.database.url();
    let token = frame.books.sign_in_again("posting-scaler").await?;
    // Connections have prepared their statements before anything is measured.
    round(frame, &token, 1, 2)?;
    let mut number = 1 + u32::from(CONNECTIONS) * A_SECOND * 2;
    let post = async |numbers: Vec<u32>| {
        for number in numbers {
            let ticket = tickets::ticket(&frame.books, FIRST_WEEK, "Recorded", number)?;
            ensure!(ask_once(address, &token, &ticket)? == 201, "a ticket was refused");
        }
        Ok(())
    };
    let mut same = recorded::script(&frame.database, post, [vec![900_000_001], vec![900_000_002]]).await?;
    let shape = tickets::ticket(&frame.books, FIRST_WEEK, "Plain", 1)?;
    let mut plain = rows::script(&frame.database, &shape).await?;
    let (mut rounds, mut with_same, mut with_plain) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..arguments.rounds {
        let token = frame.books.sign_in_again("posting-scaler").await?;
        with_same.push(same.run(&url, CONNECTIONS, arguments.seconds)?);
        rounds.push(round(frame, &token, number, arguments.seconds)?);
        number += u32::from(CONNECTIONS) * A_SECOND * u32::from(arguments.seconds);
        with_plain.push(plain.run(&url, CONNECTIONS, arguments.seconds)?);
    }
    tell(&rounds, (median(with_same), median(with_plain)), report);
    Ok(())
}

fn tell(rounds: &[Round], (same, plain): (Pace, Pace), report: &mut Report) {
    let pace = median(rounds.iter().map(|round| round.pace).collect());
    let processor = median(rounds.iter().map(|round| round.processor).collect());
    println!("the service's own processor time: {processor} µs a ticket");
    let says = |pace: Pace| format!("{}/s", hundredths(u128::from(pace.0) / 10));
    let ratio = |yardstick: Pace| Ratio::of(pace.0.into(), yardstick.0.into());
    let (what, same_says) = ("tickets posted one by one", format!("the same SQL by pgbench {}", says(same)));
    report.row(what, says(pace), same_says, ratio(same), Reach::AtLeast(Ratio(70)));
    let plain_says = format!("header and rows by pgbench {}", says(plain));
    report.row(what, says(pace), plain_says, ratio(plain), Reach::AtLeast(Ratio(150)));
    let half = median(rounds.iter().map(|round| round.median).collect());
    let slow = median(rounds.iter().map(|round| round.slow).collect());
    report.row(
        "how long the slowest hundredth waits",
        format!("{} µs", slow.as_micros()),
        format!("the median {} µs", half.as_micros()),
        Ratio::of(slow.as_micros(), half.as_micros()),
        Reach::AtMost(Ratio(400)),
    );
}

/// Posts tickets over all connections for some seconds; the first has this number.
fn round(frame: &Frame, token: &str, first: u32, seconds: u8) -> Result<Round> {
    let share = A_SECOND * u32::from(seconds);
    let requests = (0..u32::from(CONNECTIONS))
        .map(|connection| requests(&frame.books, token, first + connection * share, share))
        .collect::<Result<Vec<_>>>()?;
    let before = process::processor_milliseconds(frame.service.process())?;
    let (start, length) = (Instant::now(), Duration::from_secs(seconds.into()));
    let address = frame.service.address();
    let posting: Vec<_> = requests
        .into_iter()
        .map(|requests| thread::spawn(move || one(address, &requests, start, length)))
        .collect();
    let mut took = Vec::new();
    for one in posting {
        took.extend(one.join().map_err(|_| anyhow!("a connection gave up"))??);
    }
    let passed = start.elapsed().as_millis();
    let used = process::processor_milliseconds(frame.service.process())? - before;
    took.sort_unstable();
    let count = u64::try_from(took.len())?;
    let pace = Pace(u64::try_from(u128::from(count) * 1_000_000 / passed)?);
    let at = |hundredth: usize| took.get(took.len() * hundredth / 100).copied().unwrap_or_default();
    Ok(Round {
        pace,
        median: at(50),
        slow: at(99),
        processor: (used * 1_000).checked_div(count).unwrap_or_default(),
    })
}

fn requests(books: &Books, token: &str, first: u32, count: u32) -> Result<Vec<Vec<u8>>> {
    (first..first + count)
        .map(|number| {
            let ticket = tickets::ticket(books, FIRST_WEEK, "One by one", number)?;
            Ok(connection::post("/v1/tickets", token, "application/json", &serde_json::to_vec(&ticket)?))
        })
        .collect()
}

/// One connection: posts until the time is over, and says how long each answer took.
fn one(address: SocketAddr, requests: &[Vec<u8>], start: Instant, length: Duration) -> Result<Vec<Duration>> {
    let mut connection = Connection::open(address)?;
    let mut took = Vec::with_capacity(requests.len());
    for request in requests {
        let asked = Instant::now();
        if asked.duration_since(start) >= length {
            break;
        }
        let status = connection.ask(request)?;
        ensure!(
            status == 201,
            "a ticket was answered with {status}: {}",
            String::from_utf8_lossy(connection.body())
        );
        took.push(asked.elapsed());
    }
    Ok(took)
}

fn ask_once(address: SocketAddr, token: &str, ticket: &serde_json::Value) -> Result<u16> {
    let request = connection::post("/v1/tickets", token, "application/json", &serde_json::to_vec(ticket)?);
    Connection::open(address)?.ask(&request)
}
