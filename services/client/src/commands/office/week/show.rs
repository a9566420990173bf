//! `skid week show`: one settlement with its lines.

use clap::Args;
use client::{Client, text};
use kernel::SettlementId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which settlement.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The settlement.
    id: SettlementId,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    output::paper(&client.show_settlement(options.id).await?, json, text::settlement)?;
    Ok(Ending::Done)
}
