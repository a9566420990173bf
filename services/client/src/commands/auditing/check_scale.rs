//! `skid check-scale`: samples that somebody else scales again.

mod file;
mod show;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with check scales.
#[derive(Debug, Subcommand)]
pub(crate) enum CheckScaleCommand {
    /// File a check scale from a file of JSON, and show what it comes to.
    File(file::FileOptions),
    /// Show a check scale: both scales side by side, the verdict, and what it comes to.
    Show(show::ShowOptions),
}

/// Does it.
pub(crate) async fn run(command: &CheckScaleCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        CheckScaleCommand::File(options) => file::run(options, client, json).await,
        CheckScaleCommand::Show(options) => show::run(options, client, json).await,
    }
}
