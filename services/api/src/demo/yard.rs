//! The scaler posts tickets from the yard.

use std::collections::HashMap;
use std::io::{IsTerminal, Write};

use anyhow::Context;
use client::Client;
use kernel::TicketId;
use wire::{CorrectionCreate, Name, TicketCreate, WorkEntry};

use super::scenario::{Correction, Ticket};
use super::setting_up::Directory;

/// The posted tickets by their place in the books.
pub(super) type Posted = HashMap<(Name, u32), TicketId>;

/// A ticket as it is sent.
fn sent(ticket: &Ticket, directory: &Directory) -> anyhow::Result<TicketCreate> {
    let work = ticket.work.iter().map(|(task, crew)| {
        Ok(WorkEntry { task: *task, crew_id: directory.crew(crew)?, pieces: None, parts: None })
    });
    Ok(TicketCreate {
        book: ticket.book.clone(),
        number: ticket.number,
        job_id: directory.job,
        landing_id: directory.landing(&ticket.landing)?,
        scaled_on: ticket.scaled_on,
        scaler: Name::try_from("Ida Holmquill".to_owned())?,
        work: work.collect::<anyhow::Result<_>>()?,
        turn: Some(ticket.turn.clone()),
        delivered_to: ticket.delivered.then_some(directory.mill),
        pieces: ticket.pieces.clone(),
        remarks: ticket.remarks.clone(),
        measured_at: None,
        sent_at: None,
    })
}

/// Posts tickets, one of them twice, as a bad line makes a scaler do.
pub(super) async fn post(
    scaler: &Client,
    directory: &Directory,
    tickets: &[Ticket],
    posted: &mut Posted,
) -> anyhow::Result<()> {
    let mut sticks = 0;
    for (count, ticket) in (1..).zip(tickets) {
        let sent = sent(ticket, directory)?;
        let answer = scaler.post_ticket(&sent).await?;
        posted.insert((ticket.book.clone(), ticket.number), answer.ticket.ticket_id);
        sticks += ticket.pieces.len();
        progress(count, tickets.len());
        if count == 1 {
            let again = scaler.post_ticket(&sent).await?;
            anyhow::ensure!(again.replayed, "the same ticket was taken for another one");
        }
    }
    println!("  {} tickets with {sticks} sticks; the first one sent twice, and kept once.\n", tickets.len());
    Ok(())
}

fn progress(count: usize, of: usize) {
    let mut out = std::io::stdout();
    if out.is_terminal() {
        let end = if count == of { "\r\x1b[K" } else { "" };
        // A terminal that has gone away is no reason to stop the job.
        let _shown = write!(out, "\r  ticket {count} of {of}{end}").and_then(|()| out.flush());
    }
}

/// Corrects a ticket.
pub(super) async fn correct(
    scaler: &Client,
    directory: &Directory,
    correction: &Correction,
    posted: &mut Posted,
) -> anyhow::Result<()> {
    let place = (correction.of.book.clone(), correction.of.number);
    let wrong = posted.get(&place).copied().context("the wrong ticket was not posted")?;
    let ticket = sent(&correction.ticket, directory)?;
    let right = CorrectionCreate { reason: correction.reason.clone(), ticket };
    let answer = scaler.correct_ticket(wrong, &right).await?;
    let new = &answer.ticket.ticket;
    println!(
        "  Ticket {} {} takes the place of {} {}: {}.\n",
        new.book, new.number, correction.of.book, correction.of.number, correction.reason
    );
    posted.insert((new.book.clone(), new.number), answer.ticket.ticket_id);
    Ok(())
}
