//! `skid outbox show`: shows one entry.

use clap::Args;
use client::outbox::{Entry, Outbox, Place};
use client::text;

use super::list::{line, moment};
use crate::commands::ending::Ending;
use crate::commands::{filing, narrow, output};

/// Which one.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The entry's number.
    #[arg(value_name = "N")]
    entry: u64,
}

pub(crate) fn run(options: &ShowOptions, json: bool) -> anyhow::Result<Ending> {
    let (place, entry) = Outbox::of_user()?.find(options.entry)?;
    if json {
        output::json_line(&line(place, &entry))?;
    } else {
        output::text(&set(place, &entry)?)?;
    }
    Ok(Ending::Done)
}

fn set(place: Place, entry: &Entry) -> anyhow::Result<String> {
    let mut said = vec![
        format!("Entry {}, {place}", entry.number),
        entry.filing.says.clone(),
        format!("of {}", entry.owner),
        format!("kept {}; tried {} times", moment(entry.made_at), entry.tries),
    ];
    said.extend(entry.told.as_ref().map(|told| format!("last time: {told}")));
    said.extend(entry.answer.as_ref().map(|answer| format!("answered {}", moment(answer.at))));
    said.extend(entry.dropped.as_ref().map(|one| format!("set aside {}: {}", moment(one.at), one.because)));
    let mut set: String = said.iter().map(|line| narrow::lines(line, 2)).collect();
    if let Some(refusal) = &entry.refusal {
        set.push_str(&narrow::lines(
            &format!("refused {}, {}", moment(refusal.at), output::problem_told(&refusal.problem)),
            2,
        ));
    }
    if let Ok(ticket) = filing::ticket(entry) {
        for (number, piece) in (1..).zip(&ticket.pieces) {
            set.push_str(&narrow::lines(&format!("{number}. {}", text::stick(piece)), 3));
        }
        return Ok(set);
    }
    set.push_str(&serde_json::to_string_pretty(&entry.filing.body)?);
    set.push('\n');
    Ok(set)
}
