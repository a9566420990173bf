//! `skid journal`: what every account stands at, and handing the journal over.

mod balance;
mod export;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with the journal.
#[derive(Debug, Subcommand)]
pub(crate) enum JournalCommand {
    /// Show what every account stands at: the trial balance, whose two sides are equal.
    Balance(balance::BalanceOptions),
    /// Hand the journal over to other tools.
    Export(export::ExportOptions),
}

/// Does it.
pub(crate) async fn run(command: &JournalCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        JournalCommand::Balance(options) => balance::run(options, client, json).await,
        JournalCommand::Export(options) => export::run(options, client, json).await,
    }
}
