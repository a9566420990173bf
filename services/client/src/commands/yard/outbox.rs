//! `skid outbox`: what was filed on this machine, and what became of it.

mod amend;
mod list;
mod moving;
pub(crate) mod send;
mod show;

use clap::Subcommand;

use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;

/// What to do with it.
#[derive(Debug, Subcommand)]
pub(crate) enum OutboxCommand {
    /// Send what waits, in the order it was kept. Ends with 3 when some was refused, 4 when there is no signal.
    Send,
    /// Show an entry: what was filed, and what the service said.
    Show(show::ShowOptions),
    /// Set aside what waits or was refused, with a reason. It is never sent, and never deleted.
    Drop(moving::DropOptions),
    /// Put back what was refused, to be sent again as it is.
    Again(moving::AgainOptions),
    /// Take a ticket that was refused, or that waits, back into `skid ticket new`, to be amended and posted anew.
    Amend(amend::AmendOptions),
}

/// Does it; without a word more, lists what waits, what was refused and what was sent lately.
pub(crate) async fn run(
    command: Option<&OutboxCommand>,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    match command {
        None => list::run(service, json),
        Some(OutboxCommand::Send) => send::run(service, json).await,
        Some(OutboxCommand::Show(options)) => show::run(options, json),
        Some(OutboxCommand::Drop(options)) => moving::set_aside(options, json),
        Some(OutboxCommand::Again(options)) => moving::put_back(options, json),
        Some(OutboxCommand::Amend(options)) => amend::run(options, json),
    }
}
