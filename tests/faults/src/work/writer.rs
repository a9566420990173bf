//! A scaler who posts one ticket after the other, corrects some, and sends again whatever was not answered.

use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use kernel::TicketId;
use serde_json::{Value, json};
use wire::TicketCreate;

use super::answer::{Answer, Sender};
use super::crowd::{LONGEST, Work};
use super::sent::name_of;
use super::{outfit, tickets};
use crate::chance::Chance;

/// Posts until it is over.
pub async fn write(work: Arc<Work>, sender: Sender, book: String, mut chance: Chance) {
    let mut standing: Vec<(TicketId, TicketCreate)> = Vec::new();
    let mut number = 0;
    while !work.is_over() {
        number += 1;
        let done = step(&work, &sender, (&book, number), &mut standing, &mut chance).await;
        if let Err(error) = done {
            work.fault(format!("book {book}, number {number}: {error:#}"));
            return;
        }
    }
}

async fn step(
    work: &Work,
    sender: &Sender,
    (book, number): (&str, u32),
    standing: &mut Vec<(TicketId, TicketCreate)>,
    chance: &mut Chance,
) -> anyhow::Result<()> {
    // While a week is closed, nobody corrects what may be in it.
    let may_correct = !work.closing.load(Ordering::Acquire) && !standing.is_empty();
    let (path, body, ticket, corrects) = if may_correct && chance.one_in(8) {
        let (wrong_id, wrong) = standing.swap_remove(chance.place(standing.len()));
        let right = tickets::correction(&work.outfit, &wrong, number, chance)?;
        let body = json!({"reason": "misread", "ticket": right});
        (format!("/v1/tickets/{wrong_id}/corrections"), body, right, Some(name_of(&wrong)))
    } else {
        let week = week_for(work, chance);
        let ticket = tickets::ticket(&work.outfit, book, number, week, chance)?;
        ("/v1/tickets".to_owned(), serde_json::to_value(&ticket)?, ticket, None)
    };
    work.record(|sent| sent.sending(&ticket, corrects));
    let Some(id) = deliver(work, sender, &path, &body, (&ticket, Kept::No), chance).await? else {
        return Ok(());
    };
    if chance.one_in(4) {
        // As if nobody had been told that it was answered.
        deliver(work, sender, &path, &body, (&ticket, Kept::Yes), chance).await?;
    }
    if !ticket.pieces.is_empty() {
        standing.push((id, ticket));
    }
    Ok(())
}

/// The week that a ticket is of: mostly the open one or the next, now and then one that is posted already.
pub fn week_for(work: &Work, chance: &mut Chance) -> u32 {
    let open = work.week.load(Ordering::Acquire);
    let next = (open + 1).min(outfit::WEEKS);
    if work.closing.load(Ordering::Acquire) || chance.one_in(4) {
        return next;
    }
    if chance.one_in(10) {
        open.saturating_sub(1 + u32::try_from(chance.below(3)).unwrap_or(0))
    } else {
        open
    }
}

/// Whether the books hold what is sent, as far as its sender can know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kept {
    No,
    Perhaps,
    Yes,
}

impl Kept {
    /// What is known after an answer that acknowledged nothing.
    fn after(self, answer: &Answer) -> Self {
        let says_no = matches!(answer, Answer::Refused { code, detail, .. }
            if code != "unavailable" || detail.contains("nothing was kept"));
        if self == Self::Yes || says_no { self } else { Self::Perhaps }
    }

    /// Whether an answer that says "kept before" or "kept now" can be true.
    fn allows(self, replayed: bool) -> bool {
        match self {
            Self::No => !replayed,
            Self::Perhaps => true,
            Self::Yes => replayed,
        }
    }
}

/// Sends until it is answered; answers nothing where it was refused, which has been told as a fault.
async fn deliver(
    work: &Work,
    sender: &Sender,
    path: &str,
    body: &Value,
    (ticket, mut kept): (&TicketCreate, Kept),
    chance: &mut Chance,
) -> anyhow::Result<Option<TicketId>> {
    let first = Instant::now();
    loop {
        let began = Instant::now();
        let answer = sender.post(path, body).await;
        if let Answer::Done { status, body } = &answer {
            let id: TicketId = body["ticket_id"].as_str().unwrap_or_default().parse()?;
            let replayed = *status == 200;
            work.acknowledge(&name_of(ticket), id, replayed, began);
            if !kept.allows(replayed) {
                work.fault(format!(
                    "ticket {id} was answered {status} though its sender knew: kept: {kept:?}"
                ));
            }
            return Ok(Some(id));
        }
        if !work.will_pass(&answer, &format!("ticket {} {}", ticket.book.as_str(), ticket.number)) {
            return Ok(None);
        }
        kept = kept.after(&answer);
        anyhow::ensure!(first.elapsed() < LONGEST, "not answered for {} s: {answer:?}", LONGEST.as_secs());
        tokio::time::sleep(Duration::from_millis(10 + chance.below(90))).await;
    }
}
