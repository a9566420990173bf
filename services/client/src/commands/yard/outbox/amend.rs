//! `skid outbox amend`: takes a ticket of the outbox back into the dialogue, to be mended and posted in its place.

use clap::Args;
use client::outbox::{Outbox, OutboxError, Place};

use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;
use crate::commands::yard::ticket::new;

/// Which one.
#[derive(Debug, Args)]
pub(crate) struct AmendOptions {
    /// The entry's number.
    #[arg(value_name = "N")]
    entry: u64,
}

pub(crate) async fn run(
    options: &AmendOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    let (place, entry) = Outbox::of_user()?.find(options.entry)?;
    if !matches!(place, Place::Waiting | Place::Refused) {
        let wanted = "only what waits or was refused can be amended; what was sent is corrected";
        return Err(OutboxError::Elsewhere { number: options.entry, place, wanted }.into());
    }
    new::amend(&entry, service, json).await
}
