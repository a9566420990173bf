//! `skid explain`: pay followed down to the sticks, and sticks followed up to the pay.

mod statement;
mod ticket;

use clap::Subcommand;
use client::Client;

use super::line::{ExplainOptions, explain};
use crate::commands::ending::Ending;

/// What to explain.
#[derive(Debug, Subcommand)]
pub(crate) enum ExplainCommand {
    /// A line of somebody's statement: his part, the line, its tickets and their sticks.
    Statement(statement::StatementOptions),
    /// A line of a settlement: its arithmetic, its division, its tickets and their sticks.
    Line(ExplainOptions),
    /// A ticket or one of its pieces: whether and where it was paid, for each task.
    Ticket(ticket::TicketOptions),
}

/// Does it.
pub(crate) async fn run(command: &ExplainCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        ExplainCommand::Statement(options) => statement::run(options, client, json).await,
        ExplainCommand::Line(options) => explain(options, client, json).await,
        ExplainCommand::Ticket(options) => ticket::run(options, client, json).await,
    }
}
