//! `skid ticket post`: posts tickets from files, in order.

use std::io::Read;

use anyhow::Context;
use clap::Args;
use client::{Client, ClientError, Posted};
use serde_json::{Value, json};
use wire::UnpricedView;

use super::read::{Found, tickets};
use crate::commands::ending::Ending;
use crate::commands::output;

/// Which files.
#[derive(Debug, Args)]
pub(crate) struct PostOptions {
    /// Files with tickets, `-` for standard input: one object, an array, or one object a line.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
}

/// What became of one ticket.
enum Outcome {
    Posted(Box<Posted>),
    Refused(ClientError),
    /// The service went away: this one may have arrived, and sending it again is harmless.
    Unreachable(ClientError),
}

/// Posts every ticket, going on after a refusal and stopping when the service is gone.
pub(crate) async fn run(options: &PostOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    // All files are read before anything is sent, so that a wrong file name leaves nothing half done.
    let mut found = Vec::new();
    for file in &options.files {
        found.extend(tickets(file, &contents(file)?));
    }
    let mut ending = Ending::Done;
    let mut left = found.into_iter();
    while let Some(one) = left.next() {
        let outcome = post(client, &one).await;
        if json {
            output::json_line(&for_programs(&one, &outcome))?;
        } else {
            output::text(&for_people(&one, &outcome))?;
        }
        match outcome {
            Outcome::Posted(_) => {}
            Outcome::Refused(_) => ending = Ending::Refused,
            Outcome::Unreachable(_) => {
                not_sent(left.as_slice(), json)?;
                return Ok(Ending::Unreachable);
            }
        }
    }
    Ok(ending)
}

fn contents(file: &str) -> anyhow::Result<String> {
    if file == "-" {
        let mut text = String::new();
        std::io::stdin().lock().read_to_string(&mut text).context("standard input cannot be read")?;
        return Ok(text);
    }
    std::fs::read_to_string(file).with_context(|| format!("{file} cannot be read"))
}

async fn post(client: &Client, one: &Found) -> Outcome {
    let ticket = match &one.ticket {
        Ok(ticket) => ticket,
        Err(problem) => return Outcome::Refused(ClientError::Refused(problem.clone())),
    };
    match client.post_ticket(ticket).await {
        Ok(posted) => Outcome::Posted(Box::new(posted)),
        Err(error) if Ending::from(&error) == Ending::Unreachable => Outcome::Unreachable(error),
        Err(error) => Outcome::Refused(error),
    }
}

/// The ticket's name in the yard, or where it was found.
fn name(one: &Found) -> String {
    match (&one.book, one.number) {
        (Some(book), Some(number)) => format!("{book} {number}"),
        _ => one.place.clone(),
    }
}

fn for_people(one: &Found, outcome: &Outcome) -> String {
    let name = name(one);
    match outcome {
        Outcome::Posted(posted) => {
            let what = if posted.replayed { "was there already" } else { "accepted" };
            let id = posted.ticket.ticket_id;
            format!("{name}: {what}, {id}{}\n", unpriced(&posted.ticket.unpriced))
        }
        Outcome::Refused(error) => format!("{name}: refused, {}", output::told(error)),
        Outcome::Unreachable(error) => format!("{name}: not sent, {}", output::told(error)),
    }
}

fn unpriced(open: &[UnpricedView]) -> String {
    match open.len() {
        0 => String::new(),
        1 => "; nothing pays yet for 1 task".to_owned(),
        more => format!("; nothing pays yet for {more} tasks"),
    }
}

fn for_programs(one: &Found, outcome: &Outcome) -> Value {
    let mut line = json!({"place": one.place, "book": one.book, "number": one.number});
    let more = match outcome {
        Outcome::Posted(posted) => json!({
            "outcome": if posted.replayed { "there_already" } else { "accepted" },
            "ticket_id": posted.ticket.ticket_id,
            "unpriced": posted.ticket.unpriced.len(),
        }),
        Outcome::Refused(error) => json!({"outcome": "refused", "problem": output::problem(error)}),
        Outcome::Unreachable(error) => json!({"outcome": "not_sent", "problem": output::problem(error)}),
    };
    if let (Value::Object(line), Value::Object(more)) = (&mut line, more) {
        line.extend(more);
    }
    line
}

/// Tells of the tickets that were not tried once the service was gone.
fn not_sent(left: &[Found], json: bool) -> std::io::Result<()> {
    if json {
        for one in left {
            let place = json!({
                "place": one.place, "book": one.book, "number": one.number, "outcome": "not_sent",
            });
            output::json_line(&place)?;
        }
        return Ok(());
    }
    let further = match left {
        [] => String::new(),
        [one] => format!("{}: not sent\n", name(one)),
        [first, .., last] => {
            format!("{} to {}: {} tickets not sent\n", name(first), name(last), left.len())
        }
    };
    output::text(&format!(
        "{further}Post the same files again later: what has arrived is not counted twice.\n"
    ))
}
