//! `skid week`: the week's settlement.

mod crew;
mod post;
mod preview;
mod rederive;
mod settle;
mod show;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with weeks.
#[derive(Debug, Subcommand)]
pub(crate) enum WeekCommand {
    /// Draft a week for reading: what holds it up, and what changed since it was drafted last.
    Preview(preview::PreviewOptions),
    /// Post for good the draft that was read. Refused when the books have changed since; then it says what changed.
    Post(post::PostOptions),
    /// Draft the settlement of a week, and post it for good when told to.
    Settle(settle::SettleOptions),
    /// Show a crew's part of a settlement, and how it was divided.
    Crew(crew::CrewOptions),
    /// Show a settlement with its lines.
    Show(show::ShowOptions),
    /// Compute a posted week again from the measured facts, and compare. Ends with 5 when anything differs.
    Rederive(rederive::RederiveOptions),
}

/// Does it.
pub(crate) async fn run(command: &WeekCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        WeekCommand::Preview(options) => preview::run(options, client, json).await,
        WeekCommand::Post(options) => post::run(options, client, json).await,
        WeekCommand::Settle(options) => settle::run(options, client, json).await,
        WeekCommand::Crew(options) => crew::run(options, client, json).await,
        WeekCommand::Show(options) => show::run(options, client, json).await,
        WeekCommand::Rederive(options) => rederive::run(options, client, json).await,
    }
}
