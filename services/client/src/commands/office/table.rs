//! `skid table`: the outfit's own log rules.

mod check;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with tables.
#[derive(Debug, Subcommand)]
pub(crate) enum TableCommand {
    /// Say what is wrong with a table, without filing it. The status is 3 when it cannot be filed.
    Check(check::CheckOptions),
}

/// Does it.
pub(crate) async fn run(command: &TableCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        TableCommand::Check(options) => check::run(options, client, json).await,
    }
}
