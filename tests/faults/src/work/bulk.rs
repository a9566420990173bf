//! Somebody who sends many tickets in one request, and reads the answers line by line: each line counts as soon as it is
//! there, also when the connection ends after it.

use std::sync::Arc;
use std::time::{Duration, Instant};

use wire::{BatchLine, TicketCreate};

use super::answer::{Answer, Sender, kind_of, read};
use super::crowd::{LONGEST, Work};
use super::tickets;
use super::writer::week_for;
use crate::chance::Chance;

/// Tickets in one request: more than share a transaction, so that a batch can break in between.
const TICKETS: u32 = 120;

/// Sends until it is over.
pub async fn send(work: Arc<Work>, sender: Sender, book: String, mut chance: Chance) {
    let mut number = 0;
    while !work.is_over() {
        let week = week_for(&work, &mut chance);
        let batch: anyhow::Result<Vec<TicketCreate>> = (0..TICKETS)
            .map(|_| {
                number += 1;
                tickets::ticket(&work.outfit, &book, number, week, &mut chance)
            })
            .collect();
        let delivered = match batch {
            Ok(batch) => deliver(&work, &sender, &batch, &mut chance).await,
            Err(error) => Err(error),
        };
        if let Err(error) = delivered {
            work.fault(format!("book {book}, up to number {number}: {error:#}"));
            return;
        }
        // Others are to get on as well.
        tokio::time::sleep(Duration::from_millis(200 + chance.below(300))).await;
    }
}

/// Sends the whole of it until every line has been answered.
async fn deliver(
    work: &Work,
    sender: &Sender,
    batch: &[TicketCreate],
    chance: &mut Chance,
) -> anyhow::Result<()> {
    let mut lines = String::new();
    for ticket in batch {
        work.record(|sent| sent.sending(ticket, None));
        lines.push_str(&serde_json::to_string(ticket)?);
        lines.push('\n');
    }
    let first = Instant::now();
    while !once(work, sender, &lines).await? {
        anyhow::ensure!(first.elapsed() < LONGEST, "not answered for {} s", LONGEST.as_secs());
        tokio::time::sleep(Duration::from_millis(20 + chance.below(100))).await;
    }
    Ok(())
}

/// Sends it once; answers whether there is nothing left to send.
async fn once(work: &Work, sender: &Sender, lines: &str) -> anyhow::Result<bool> {
    let began = Instant::now();
    let request = sender.request("/v1/ticket-batches", "application/x-ndjson", lines.to_owned());
    let mut response = match request.timeout(LONGEST).send().await {
        Ok(response) => response,
        Err(error) => {
            work.will_pass(&Answer::Ended(kind_of(&error)), "a batch");
            return Ok(false);
        }
    };
    if !response.status().is_success() {
        let answer = read(response).await;
        anyhow::ensure!(work.will_pass(&answer, "a batch"), "a batch was refused");
        return Ok(false);
    }
    let (mut rest, mut all_kept) = (Vec::new(), true);
    loop {
        let chunk = match response.chunk().await {
            Ok(Some(chunk)) => chunk,
            // The last line says that it is the last: where that is missing, the answer was cut off.
            Ok(None) => {
                work.will_pass(&Answer::Ended("batch cut off".to_owned()), "a batch");
                return Ok(false);
            }
            Err(error) => {
                work.will_pass(&Answer::Ended(kind_of(&error)), "a batch");
                return Ok(false);
            }
        };
        rest.extend_from_slice(&chunk);
        while let Some(end) = rest.iter().position(|byte| *byte == b'\n') {
            let line: Vec<u8> = rest.drain(..=end).collect();
            match note(work, &serde_json::from_slice(&line)?, began)? {
                Noted::Kept => {}
                Noted::ToSendAgain => all_kept = false,
                Noted::Last => return Ok(all_kept),
            }
        }
    }
}

/// What a line comes to.
enum Noted {
    Kept,
    ToSendAgain,
    Last,
}

fn note(work: &Work, line: &BatchLine, began: Instant) -> anyhow::Result<Noted> {
    match line {
        BatchLine::Accepted(ticket) => {
            work.acknowledge(&(ticket.book.clone(), ticket.number), ticket.ticket_id, false, began);
            Ok(Noted::Kept)
        }
        BatchLine::Replayed(ticket) => {
            work.acknowledge(&(ticket.book.clone(), ticket.number), ticket.ticket_id, true, began);
            Ok(Noted::Kept)
        }
        BatchLine::Refused(refused) => {
            let problem = &refused.problem;
            let answer = Answer::Refused {
                status: problem.status,
                code: problem.code.text().to_owned(),
                detail: problem.detail.clone(),
                // A line has no header in which it could say when to come back.
                says_when: true,
            };
            let passes = work.will_pass(&answer, &format!("line {} of a batch", refused.line));
            anyhow::ensure!(passes, "a line was refused: {}", problem.code.text());
            Ok(Noted::ToSendAgain)
        }
        BatchLine::Finished(_) => Ok(Noted::Last),
    }
}
