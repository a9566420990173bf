//! What the yard does: scaling sticks, posting tickets.

mod outbox;
mod scale;
mod ticket;

use clap::Subcommand;

use super::ending::Ending;
use super::service::ServiceOptions;

/// What to do in the yard.
#[derive(Debug, Subcommand)]
pub(crate) enum YardCommand {
    /// Scale sticks by a rule, one JSON object a line from standard input. Needs no service.
    ///
    /// Each line names a rule and the sizes it takes, numbers written as text:
    ///
    ///   {"rule": "doyle", "diameter_in": "20", "length_ft": "16", "label": "row 1"}
    ///
    /// and is answered by one line with gross, net and unit:
    ///
    ///   {"label": "row 1", "rule": "doyle", "unit": "board_foot", "gross": "256", "net": "256", ...}
    ///
    /// A line that cannot be scaled is answered in its place by {"problem": ...} with its code, detail and line; the
    /// others go on, and the status at the end is 2. Numbers are used as they are given: no reading is rounded and no
    /// trim taken off.
    #[command(verbatim_doc_comment)]
    Scale(scale::ScaleOptions),
    /// Post, show and list scale tickets.
    #[command(subcommand)]
    Ticket(ticket::TicketCommand),
    /// What was filed on this machine: what waits for signal, was refused, or was sent lately.
    Outbox {
        #[command(subcommand)]
        command: Option<outbox::OutboxCommand>,
    },
}

/// Does it.
pub(crate) async fn run(
    command: &YardCommand,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    match command {
        YardCommand::Scale(options) => {
            Ok(scale::run(options, std::io::stdin().lock(), std::io::stdout().lock())?)
        }
        YardCommand::Ticket(command) => ticket::run(command, service, json).await,
        YardCommand::Outbox { command } => outbox::run(command.as_ref(), service, json).await,
    }
}

#[cfg(test)]
mod tests {
    use crate::commands::understood::{ID, check};

    #[test]
    fn its_commands_are_understood() {
        check(
            &[
                &["scale", "--working"],
                &["scale", "--plain"],
                &["ticket", "post", "a.json", "-"],
                &["ticket", "post", "--now", "a.json"],
                &["outbox"],
                &["outbox", "send", "--json"],
                &["outbox", "show", "3"],
                &["outbox", "drop", "3", "--because", "written twice"],
                &["outbox", "again", "3"],
                &["outbox", "amend", "3"],
                &["ticket", "correct", "N", "103", "--with", "right.json", "--reason", "length misread"],
                &["ticket", "void", ID, "--number", "116", "--reason", "scaled twice", "--dry-run"],
                &["ticket", "show", ID, "--working", "--json"],
                &[
                    "ticket",
                    "list",
                    "--from",
                    "2031-06-01",
                    "--to",
                    "2031-06-07",
                    "--book",
                    "A",
                    "--standing",
                ],
            ],
            &[&["scale", "--plain", "--json"], &["ticket", "post"], &["ticket", "show", "17"]],
        );
    }
}
