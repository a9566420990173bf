//! `skid statement`: what each payee has coming.

mod show;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with statements.
#[derive(Debug, Subcommand)]
pub(crate) enum StatementCommand {
    /// Show a statement with its lines.
    Show(show::ShowOptions),
}

/// Does it.
pub(crate) async fn run(command: &StatementCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        StatementCommand::Show(options) => show::run(options, client, json).await,
    }
}
