//! `skid line`: lines of a settlement.

mod explain;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;
pub(crate) use explain::ExplainOptions;
pub(crate) use explain::run as explain;

/// What to do with lines.
#[derive(Debug, Subcommand)]
pub(crate) enum LineCommand {
    /// Follow a posted line down to the sticks.
    Explain(explain::ExplainOptions),
}

/// Does it.
pub(crate) async fn run(command: &LineCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        LineCommand::Explain(options) => explain::run(options, client, json).await,
    }
}
