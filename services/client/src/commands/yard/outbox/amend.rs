//! `skid outbox amend`: writes a ticket of the outbox down as a file, to be amended and posted anew.

use clap::Args;
use client::outbox::{Outbox, OutboxError, Place};

use crate::commands::ending::Ending;
use crate::commands::{filing, output};

/// Which one.
#[derive(Debug, Args)]
pub(crate) struct AmendOptions {
    /// The entry's number.
    #[arg(value_name = "N")]
    entry: u64,
}

pub(crate) fn run(options: &AmendOptions, json: bool) -> anyhow::Result<Ending> {
    let (place, entry) = Outbox::of_user()?.find(options.entry)?;
    if !matches!(place, Place::Waiting | Place::Refused) {
        let wanted = "only what waits or was refused can be amended; what was sent is corrected";
        return Err(OutboxError::Elsewhere { number: options.entry, place, wanted }.into());
    }
    let ticket = filing::ticket(&entry)?;
    let _ = json;
    output::json_line(&ticket)?;
    Ok(Ending::Done)
}
