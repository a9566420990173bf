//! `skid ticket`: scale tickets.

mod correct;
mod list;
pub(crate) mod new;
pub(crate) mod post;
mod read;
mod show;

use clap::Subcommand;

use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;

/// What to do with tickets.
#[derive(Debug, Subcommand)]
pub(crate) enum TicketCommand {
    /// Ask for a ticket stick by stick, with running volumes, and post it.
    ///
    /// A line at a time: at the prompt, h and Enter shows how sticks are typed and what the letters do. Every stick is
    /// on this machine before the next is asked for; leave with q, or just lose power, and `skid ticket new` offers to go
    /// on. Jobs, crews and scaling practices are fetched when there is signal and kept for when there is none. What is
    /// posted is kept in the outbox first: no signal ends with 0, or with 4 and --now; refused ends with 3.
    New(new::NewOptions),
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
        TicketCommand::New(options) => new::run(options, service, json).await,
        TicketCommand::Post(options) => post::run(options, service, json).await,
        TicketCommand::Show(options) => show::run(options, &service.client().await?, json).await,
        TicketCommand::List(options) => list::run(options, &service.client().await?, json).await,
        TicketCommand::Correct(options) => correct::correct(options, service, json).await,
        TicketCommand::Void(options) => correct::void(options, service, json).await,
    }
}
