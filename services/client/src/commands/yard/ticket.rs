//! `skid ticket`: scale tickets.

mod correct;
mod list;
mod post;
mod read;
mod show;

use clap::Subcommand;

use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;

/// What to do with tickets.
#[derive(Debug, Subcommand)]
pub(crate) enum TicketCommand {
    /// Post tickets from files, in order; sending one twice does no harm.
    ///
    /// Every ticket is kept on this machine first (see `skid outbox`), then sent; what waited before goes first. A
    /// refused ticket does not keep the others back: the status at the end is 3 when some were refused. No signal is no
    /// fault: it says what was kept, ends with 0, and the next `skid ticket post` or `skid outbox send` sends it. With
    /// --now it ends with 4 then.
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
pub(crate) async fn run(
    command: &TicketCommand,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    match command {
        TicketCommand::Post(options) => post::run(options, service, json).await,
        TicketCommand::Show(options) => show::run(options, &service.client().await?, json).await,
        TicketCommand::List(options) => list::run(options, &service.client().await?, json).await,
        TicketCommand::Correct(options) => correct::correct(options, service, json).await,
        TicketCommand::Void(options) => correct::void(options, service, json).await,
    }
}
