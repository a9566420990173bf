//! `skid outbox`: lists what waits, what was refused and what was sent lately.

use client::outbox::{Entry, Owner, Place};
use jiff::{SignedDuration, Timestamp, tz::TimeZone};
use kernel::{Clock, SystemClock};
use serde_json::{Value, json};

use crate::commands::ending::Ending;
use crate::commands::filing::Filer;
use crate::commands::service::ServiceOptions;
use crate::commands::{narrow, output};

/// How long something counts as sent lately.
const LATELY: SignedDuration = SignedDuration::from_hours(7 * 24);

pub(crate) fn run(service: &ServiceOptions, json: bool) -> anyhow::Result<Ending> {
    let filer = Filer::open(service)?;
    let since = SystemClock.now().saturating_sub(LATELY)?;
    let waiting = filer.outbox.entries(Place::Waiting)?;
    let refused = filer.outbox.entries(Place::Refused)?;
    let mut sent = filer.outbox.entries(Place::Sent)?;
    sent.retain(|entry| entry.answer.as_ref().is_some_and(|answer| answer.at >= since));
    if json {
        for (place, entries) in [(Place::Waiting, &waiting), (Place::Refused, &refused), (Place::Sent, &sent)]
        {
            for entry in entries {
                output::json_line(&line(place, entry))?;
            }
        }
        return Ok(Ending::Done);
    }
    let set = |one: &Entry| item(one, &filer.owner);
    let mut text = part("Waiting", &waiting, set);
    text.push_str(&part("Refused", &refused, set));
    text.push_str(&part("Sent in the last 7 days", &sent, set));
    if !refused.is_empty() {
        text.push_str(&narrow::lines(
            "skid outbox amend N mends a ticket, again N sends as it is, drop N sets aside.",
            2,
        ));
    }
    output::text(&text)?;
    Ok(Ending::Done)
}

/// An entry for other programs.
pub(crate) fn line(place: Place, entry: &Entry) -> Value {
    let mut line = json!(entry);
    if let Value::Object(members) = &mut line {
        members.insert("place".to_owned(), json!(place));
    }
    line
}

fn part(heading: &str, entries: &[Entry], set: impl Fn(&Entry) -> String) -> String {
    let lines: String = entries.iter().map(set).collect();
    format!("{heading}: {}\n{lines}", entries.len())
}

fn item(entry: &Entry, owner: &Owner) -> String {
    let mut item = narrow::lines(&format!("  {}  {}", entry.number, entry.filing.says), 3);
    let more = match (&entry.answer, &entry.refusal) {
        (Some(answer), _) => format!("sent {}", moment(answer.at)),
        (None, Some(refusal)) => format!("{}: {}", refusal.problem.code.text(), refusal.problem.detail),
        (None, None) => {
            let tried = match entry.tries {
                0 => String::new(),
                1 => ", tried once".to_owned(),
                tries => format!(", tried {tries} times"),
            };
            format!("kept {}{tried}", moment(entry.made_at))
        }
    };
    item.push_str(&narrow::lines(&format!("     {more}"), 0));
    if entry.owner != *owner {
        item.push_str(&narrow::lines(&format!("     not sent as you: it is of {}", entry.owner), 0));
    }
    item
}

/// A moment by the clock of this machine.
pub(crate) fn moment(at: Timestamp) -> String {
    at.to_zoned(TimeZone::system()).strftime("%b %-d %H:%M").to_string()
}
