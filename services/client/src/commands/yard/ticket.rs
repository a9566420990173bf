//! `skid ticket`: scale tickets.

mod correct;
mod list;
mod post;
mod read;
mod show;

use clap::Subcommand;
use client::Client;

use crate::commands::ending::Ending;

/// What to do with tickets.
#[derive(Debug, Subcommand)]
pub(crate) enum TicketCommand {
    /// Post tickets from files, in order; sending one twice does no harm.
    ///
    /// A refused ticket does not keep the others back: the status at the end is 3 when some were refused. When the
    /// service is gone it stops with status 4; post the same files again later.
    Post(post::PostOptions),
    /// Show a ticket, and what every contract makes of it.
    Show(show::ShowOptions),
    /// List tickets.
    List(list::ListOptions),
    /// Correct a ticket by another that takes its place. Both stay readable.
    Correct(correct::CorrectOptions),
    /// Make a ticket void: another takes its place that holds nothing. Both stay readable.
    Void(correct::VoidOptions),
}

/// Does it.
pub(crate) async fn run(command: &TicketCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        TicketCommand::Post(options) => post::run(options, client, json).await,
        TicketCommand::Show(options) => show::run(options, client, json).await,
        TicketCommand::List(options) => list::run(options, client, json).await,
        TicketCommand::Correct(options) => correct::correct(options, client, json).await,
        TicketCommand::Void(options) => correct::void(options, client, json).await,
    }
}
