//! What the office does: the week, statements, balances, the journal, the outfit's own tables.

mod balance;
mod journal;
mod statement;
mod table;
mod week;

use clap::Subcommand;

use super::ending::Ending;
use super::service::ServiceOptions;

/// What to do in the office.
#[derive(Debug, Subcommand)]
pub(crate) enum OfficeCommand {
    /// Settle a week, or show a settlement.
    #[command(subcommand)]
    Week(week::WeekCommand),
    /// Statements: what each payee has coming.
    #[command(subcommand)]
    Statement(statement::StatementCommand),
    /// What everybody has coming, and what mills owe, at the end of a day.
    Balance(balance::BalanceOptions),
    /// The journal: what every account stands at, and handing it over to other tools.
    #[command(subcommand)]
    Journal(journal::JournalCommand),
    /// The outfit's own log rules, filed as tables.
    #[command(subcommand)]
    Table(table::TableCommand),
}

/// Does it.
pub(crate) async fn run(
    command: &OfficeCommand,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    match command {
        OfficeCommand::Week(command) => week::run(command, &service.client().await?, json).await,
        OfficeCommand::Statement(command) => statement::run(command, &service.client().await?, json).await,
        OfficeCommand::Balance(command) => balance::run(command, &service.client().await?, json).await,
        OfficeCommand::Journal(command) => journal::run(command, &service.client().await?, json).await,
        OfficeCommand::Table(command) => table::run(command, &service.client().await?, json).await,
    }
}

#[cfg(test)]
mod tests {
    use crate::commands::understood::{ID, check};

    #[test]
    fn its_commands_are_understood() {
        check(
            &[
                &["week", "settle", "2031-06-07", "--post"],
                &["week", "preview", "2031-06-07", "--short", "--json"],
                &["week", "post", "2031-06-07"],
                &["week", "post", ID, "--yes"],
                &["week", "show", ID],
                &["statement", "show", ID],
                &["table", "check", "camp.json"],
                &["week", "rederive", "2031-06-07"],
                &["week", "rederive", "2031-06-07", "--contract", ID],
                &["week", "crew", ID, ID],
                &["journal", "export", "--format", "text"],
                &["journal", "export", "--format", "csv", "--from", "2031-06-01", "--to", "2031-06-07"],
                &["journal", "balance", "--on", "2031-06-07"],
                &["balance"],
                &["balance", "--on", "2031-06-07"],
            ],
            &[
                &["week", "settle", "07/06/2031"],
                &["journal", "export"],
                &["journal", "export", "--format", "xml"],
                &["balance", "--on", "today"],
                &["week", "rederive", "soon"],
                &["week", "preview", "soon"],
                &["week", "post", "soon"],
            ],
        );
    }
}
