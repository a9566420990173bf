//! `skid outbox drop` and `skid outbox again`: somebody decides about an entry.

use clap::Args;
use client::outbox::{Outbox, Place};
use kernel::SystemClock;

use super::list::line;
use crate::commands::ending::Ending;
use crate::commands::{narrow, output};

/// What to set aside.
#[derive(Debug, Args)]
pub(crate) struct DropOptions {
    /// The entry's number.
    #[arg(value_name = "N")]
    entry: u64,
    /// Why.
    #[arg(long, value_name = "REASON", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    because: String,
}

/// What to put back.
#[derive(Debug, Args)]
pub(crate) struct AgainOptions {
    /// The entry's number.
    #[arg(value_name = "N")]
    entry: u64,
}

pub(crate) fn set_aside(options: &DropOptions, json: bool) -> anyhow::Result<Ending> {
    let entry = Outbox::of_user()?.set_aside(options.entry, &options.because, &SystemClock)?;
    output::paper(&line(Place::Dropped, &entry), json, |_| {
        narrow::lines(
            &format!("{}: set aside, and will not be sent. It stays on this machine.", entry.filing.says),
            2,
        )
    })?;
    Ok(Ending::Done)
}

pub(crate) fn put_back(options: &AgainOptions, json: bool) -> anyhow::Result<Ending> {
    let entry = Outbox::of_user()?.put_back(options.entry)?;
    output::paper(&line(Place::Waiting, &entry), json, |_| {
        narrow::lines(&format!("{}: waits again. Send it with: skid outbox send", entry.filing.says), 2)
    })?;
    Ok(Ending::Done)
}
