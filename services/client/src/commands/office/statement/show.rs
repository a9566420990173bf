//! `skid statement show`: one statement with its lines.

use clap::Args;
use client::{Client, text};
use kernel::StatementId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which statement.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The statement.
    id: StatementId,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    output::paper(&client.show_statement(options.id).await?, json, text::statement)?;
    Ok(Ending::Done)
}
