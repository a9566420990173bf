//! `skid outbox send`: sends what waits.

use client::outbox::{Entry, Outcome};
use serde_json::{Value, json};

use crate::commands::ending::Ending;
use crate::commands::filing::{self, Filer};
use crate::commands::output;
use crate::commands::service::ServiceOptions;

pub(crate) async fn run(service: &ServiceOptions, json: bool) -> anyhow::Result<Ending> {
    let filer = Filer::open(service)?;
    let mut written = Ok(());
    let sent = filer
        .send(&mut |entry, outcome| {
            let telling = if json {
                output::json_line(&for_programs(entry, outcome))
            } else {
                output::text(&for_people(entry, outcome))
            };
            written = std::mem::replace(&mut written, Ok(())).and(telling);
        })
        .await?;
    written?;
    let rest = filing::rest(&sent);
    if !json {
        output::text(if rest.is_empty() { "Nothing waits.\n" } else { &rest })?;
    }
    match sent {
        Ok(sending) => Ok(filing::ending(&sending, true)),
        Err(_busy) => Ok(Ending::Done),
    }
}

/// What became of an entry, for people.
pub(crate) fn for_people(entry: &Entry, outcome: &Outcome) -> String {
    let says = &entry.filing.says;
    match outcome {
        Outcome::Answered => match &entry.answer {
            Some(answer) if answer.replayed => format!("{says}: was there already\n"),
            _ => format!("{says}: sent\n"),
        },
        Outcome::Refused => {
            let problem = entry.refusal.as_ref().map(|refusal| refusal.problem.clone());
            let told = problem.map(|problem| output::problem_told(&problem)).unwrap_or_default();
            format!("{says}: refused, entry {}, {told}", entry.number)
        }
        Outcome::Follows(first) => format!("{says}: waits until entry {first} is answered\n"),
        Outcome::Fault(error) => format!("{says}: waits, {}", output::told(error)),
    }
}

/// The same for other programs.
pub(crate) fn for_programs(entry: &Entry, outcome: &Outcome) -> Value {
    let (name, problem) = match outcome {
        Outcome::Answered => ("answered", Value::Null),
        Outcome::Refused => ("refused", json!(entry.refusal.as_ref().map(|refusal| &refusal.problem))),
        Outcome::Follows(first) => ("waits", json!({"code": "follows", "entry": first})),
        Outcome::Fault(error) => ("waits", output::problem(error)),
    };
    json!({"entry": entry.number, "operation": entry.filing.operation, "says": entry.filing.says,
           "outcome": name, "problem": problem})
}
