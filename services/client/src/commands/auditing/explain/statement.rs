//! `skid explain statement`: a line of somebody's statement followed down to the sticks.

use clap::Args;
use client::{Client, text};
use kernel::StatementId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which line.
#[derive(Debug, Args)]
pub(crate) struct StatementOptions {
    /// The statement.
    statement: StatementId,
    /// The line's number, as it stands on the statement.
    #[arg(value_parser = clap::value_parser!(i32).range(1..))]
    number: i32,
}

/// Prints the explanation.
pub(crate) async fn run(options: &StatementOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let explained = client.explain_statement_line(options.statement, options.number).await?;
    output::paper(&explained, json, text::statement_line)?;
    Ok(Ending::Done)
}
