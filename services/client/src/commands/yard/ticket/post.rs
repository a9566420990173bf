//! `skid ticket post`: posts tickets from files, in order, by way of the outbox.

use std::collections::VecDeque;
use std::io::Read;

use anyhow::Context;
use clap::Args;
use client::ClientError;
use client::outbox::{Entry, Filing, Key, OutboxError, Outcome, Sending};
use kernel::SystemClock;
use serde_json::{Value, json};
use wire::{TicketCreate, TicketView, UnpricedView};

use super::read::{Found, tickets};
use crate::commands::ending::Ending;
use crate::commands::filing::{self, Filer};
use crate::commands::output;
use crate::commands::service::ServiceOptions;
use crate::commands::yard::outbox::send;

/// Which files.
#[derive(Debug, Args)]
pub(crate) struct PostOptions {
    /// Files with tickets, `-` for standard input: one object, an array, or one object a line.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    /// End with status 4 when there is no signal, for scripts that have to know. What is kept is kept all the same.
    #[arg(long)]
    now: bool,
}

/// A ticket of the files on its way.
struct Underway {
    found: Found,
    /// Its entry in the outbox, or why it does not come there.
    entry: Result<u64, Value>,
    told: String,
}

/// Keeps every ticket, then sends: a refusal holds nothing else up, and a service that is gone ends it.
pub(crate) async fn run(
    options: &PostOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    // All files are read before anything is kept, so that a wrong file name leaves nothing half done.
    let mut found = Vec::new();
    for file in &options.files {
        found.extend(tickets(file, &contents(file)?));
    }
    let filer = Filer::open(service)?;
    let mut underway = VecDeque::new();
    for one in found {
        underway.push_back(keep(&filer, one)?);
    }
    let mut telling = Telling { underway, json, refused: false, written: Ok(()) };
    let sent = filer.send(&mut |entry, outcome| telling.of(entry, outcome)).await?;
    telling.end(&sent)?;
    let ending = sent.as_ref().map_or(Ending::Done, |sending| filing::ending(sending, options.now));
    Ok(if telling.refused { Ending::Refused } else { ending })
}

fn contents(file: &str) -> anyhow::Result<String> {
    if file == "-" {
        let mut text = String::new();
        std::io::stdin().lock().read_to_string(&mut text).context("standard input cannot be read")?;
        return Ok(text);
    }
    std::fs::read_to_string(file).with_context(|| format!("{file} cannot be read"))
}

/// A ticket as it is filed.
pub(crate) fn filing(ticket: &TicketCreate) -> serde_json::Result<Filing> {
    let name = format!("ticket {} {}", ticket.book.as_str(), ticket.number);
    let sticks = ticket.pieces.len();
    let says = format!("{name}, {sticks} {}", if sticks == 1 { "stick" } else { "sticks" });
    Ok(Filing {
        operation: "post_ticket".to_owned(),
        path: "/v1/tickets".to_owned(),
        body: serde_json::to_value(ticket)?,
        key: Key::Name(name),
        says,
        // Whoever says when it was measured has a clock to be compared.
        stamp: ticket.measured_at.map(|_| "sent_at".to_owned()),
        follows: None,
    })
}

fn keep(filer: &Filer<'_>, found: Found) -> anyhow::Result<Underway> {
    let (entry, told) = match &found.ticket {
        Err(problem) => {
            let error = ClientError::Refused(problem.clone());
            (Err(output::problem(&error)), output::told(&error))
        }
        Ok(ticket) => match filer.outbox.keep(filing(ticket)?, &filer.owner, &SystemClock) {
            Ok(kept) => (Ok(kept.entry().number), String::new()),
            Err(error @ OutboxError::OtherWaits { .. }) => {
                (Err(json!({"code": error.code(), "detail": error.to_string()})), format!("{error}\n"))
            }
            Err(error) => return Err(error.into()),
        },
    };
    Ok(Underway { found, entry, told })
}

/// Tells what becomes of the tickets, in the order of the files.
struct Telling {
    underway: VecDeque<Underway>,
    json: bool,
    refused: bool,
    written: std::io::Result<()>,
}

impl Telling {
    /// Of an entry that was sent; before it, of those in the files before it that came to nothing.
    fn of(&mut self, entry: &Entry, outcome: &Outcome) {
        let is_ours = |one: &Underway| one.entry.as_ref().is_ok_and(|number| *number == entry.number);
        if !self.underway.iter().any(is_ours) {
            let line = if self.json {
                line(&send::for_programs(entry, outcome))
            } else {
                send::for_people(entry, outcome)
            };
            return self.write(&line);
        }
        while let Some(one) = self.underway.pop_front() {
            let is_it = is_ours(&one);
            self.tell(&one, Some((entry, outcome)).filter(|_| is_it));
            if is_it {
                // The same ticket twice in the files is one entry.
                self.underway.retain(|one| !is_ours(one));
                return;
            }
        }
    }

    fn tell(&mut self, one: &Underway, sent: Option<(&Entry, &Outcome)>) {
        self.refused |= one.entry.is_err();
        let line = if self.json { line(&for_programs(one, sent)) } else { for_people(one, sent) };
        self.write(&line);
    }

    fn write(&mut self, line: &str) {
        let written = output::text(line);
        if self.written.is_ok() {
            self.written = written;
        }
    }

    /// Of whatever is left, and what waits.
    fn end(&mut self, sent: &Result<Sending, OutboxError>) -> std::io::Result<()> {
        while let Some(one) = self.underway.pop_front() {
            self.tell(&one, None);
        }
        if !self.json {
            self.write(&filing::rest(sent));
        }
        std::mem::replace(&mut self.written, Ok(()))
    }
}

fn line(value: &Value) -> String {
    format!("{value}\n")
}

/// The ticket's name in the yard, or where it was found.
fn name(one: &Found) -> String {
    match (&one.book, one.number) {
        (Some(book), Some(number)) => format!("{book} {number}"),
        _ => one.place.clone(),
    }
}

/// The ticket as the service answered it.
fn view(entry: &Entry) -> Option<(TicketView, bool)> {
    let answer = entry.answer.as_ref()?;
    Some((serde_json::from_value(answer.reply.clone()).ok()?, answer.replayed))
}

fn for_people(one: &Underway, sent: Option<(&Entry, &Outcome)>) -> String {
    let name = name(&one.found);
    let said = match (&one.entry, sent) {
        (Err(_), _) => format!("refused, {}", one.told),
        (Ok(number), None) => format!("kept, entry {number}\n"),
        (Ok(_), Some((entry, Outcome::Answered))) => match view(entry) {
            Some((view, replayed)) => {
                let what = if replayed { "was there already" } else { "accepted" };
                format!("{what}, {}{}\n", view.ticket_id, unpriced(&view.unpriced))
            }
            None => "accepted\n".to_owned(),
        },
        (Ok(number), Some((entry, Outcome::Refused))) => {
            let told = entry.refusal.as_ref().map(|refusal| output::problem_told(&refusal.problem));
            format!("refused, {}    kept as entry {number}: skid outbox\n", told.unwrap_or_default())
        }
        (Ok(_), Some((_, Outcome::Follows(first)))) => format!("waits for entry {first}\n"),
        (Ok(_), Some((_, Outcome::Fault(error)))) => format!("kept, {}", output::told(error)),
    };
    format!("{name}: {said}")
}

fn unpriced(open: &[UnpricedView]) -> String {
    match open.len() {
        0 => String::new(),
        1 => "; nothing pays yet for 1 task".to_owned(),
        more => format!("; nothing pays yet for {more} tasks"),
    }
}

fn for_programs(one: &Underway, sent: Option<(&Entry, &Outcome)>) -> Value {
    let found = &one.found;
    let mut line = json!({"place": found.place, "book": found.book, "number": found.number});
    let more = match (&one.entry, sent) {
        (Err(problem), _) => json!({"outcome": "refused", "problem": problem}),
        (Ok(number), None) => json!({"outcome": "kept", "entry": number}),
        (Ok(number), Some((entry, Outcome::Answered))) => match view(entry) {
            Some((view, replayed)) => json!({
                "outcome": if replayed { "there_already" } else { "accepted" },
                "ticket_id": view.ticket_id, "unpriced": view.unpriced.len(), "entry": number,
            }),
            None => json!({"outcome": "accepted", "entry": number}),
        },
        (Ok(number), Some((entry, Outcome::Refused))) => {
            let problem = entry.refusal.as_ref().map(|refusal| &refusal.problem);
            json!({"outcome": "refused", "problem": problem, "entry": number})
        }
        (Ok(number), Some((_, Outcome::Follows(first)))) => {
            json!({"outcome": "kept", "entry": number, "follows": first})
        }
        (Ok(number), Some((_, Outcome::Fault(error)))) => {
            json!({"outcome": "kept", "entry": number, "problem": output::problem(error)})
        }
    };
    if let (Value::Object(line), Value::Object(more)) = (&mut line, more) {
        line.extend(more);
    }
    line
}
