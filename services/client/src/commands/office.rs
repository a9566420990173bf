//! What the office does: the week, statements, balances, the journal, the outfit's own tables.

mod advance;
mod balance;
mod books;
mod certificate;
mod charge;
mod contract;
mod holdback;
mod hours;
mod import;
mod journal;
mod payment;
mod registers;
mod set_aside;
mod statement;
mod table;
mod take_back;
mod week;

use clap::Subcommand;
use registers::RegisterCommand;

use super::ending::Ending;
use super::record::Caller;
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
    /// Import many tickets from files, in portions. Can be stopped at any time, and goes on where it stopped.
    ///
    /// A file holds one ticket a line, as JSON; or, where its name ends in .csv, it is a sheet with one row a piece, as the
    /// API's template for sheets begins it. Good tickets are kept and bad ones explained: refused rows are written to a
    /// file beside, to mend and import again, and the reasons to another. Ctrl-C ends it after the portion under way, with
    /// status 6; the same command again goes on from there. Tickets that were there already are counted and left alone.
    Import(import::ImportOptions),
    /// Set a task of a ticket aside, with a reason, so that it no longer holds up the week.
    SetAside(set_aside::SetAsideOptions),
    /// Charges against workers' pay: board, lodging, store, tools.
    #[command(subcommand)]
    Charge(charge::ChargeCommand),
    /// Advances: money handed over before it was earned.
    #[command(subcommand)]
    Advance(advance::AdvanceCommand),
    /// Payments to workers, and from mills.
    #[command(subcommand)]
    Payment(payment::PaymentCommand),
    /// Hours of workers.
    #[command(subcommand)]
    Hours(hours::HoursCommand),
    /// Holdback: what is held of workers' pay, and letting it go.
    #[command(subcommand)]
    Holdback(holdback::HoldbackCommand),
    /// Take back a charge, an advance, a payment or a release of holdback. It stays readable.
    TakeBack(take_back::TakeBackOptions),
    /// What everybody has coming, and what mills owe, at the end of a day.
    Balance(balance::BalanceOptions),
    /// The journal: what every account stands at, and handing it over to other tools.
    #[command(subcommand)]
    Journal(journal::JournalCommand),
    /// Contracts one by one: show, file, amend, preview.
    #[command(subcommand)]
    Contract(contract::ContractCommand),
    /// The outfit's contracts.
    #[command(subcommand)]
    Contracts(registers::RegisterCommand),
    /// The outfit's workers.
    #[command(subcommand)]
    People(registers::RegisterCommand),
    /// The outfit's crews, and how they divide their pay.
    #[command(subcommand)]
    Crews(registers::RegisterCommand),
    /// The outfit's jobs and landings.
    #[command(subcommand)]
    Jobs(registers::RegisterCommand),
    /// The mills.
    #[command(subcommand)]
    Mills(registers::RegisterCommand),
    /// Scale books: missing numbers, and numbers that will never come.
    #[command(subcommand)]
    Books(books::BooksCommand),
    /// Scalers' certificates.
    #[command(subcommand)]
    Certificate(certificate::CertificateCommand),
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
    let client = &service.client().await?;
    if !json {
        super::filing::remind(service);
    }
    let caller = Caller { client, service, json };
    match command {
        OfficeCommand::Import(options) => import::run(options, service, json).await,
        OfficeCommand::Week(command) => week::run(command, client, json).await,
        OfficeCommand::Statement(command) => statement::run(command, client, json).await,
        OfficeCommand::SetAside(options) => set_aside::run(options, caller).await,
        OfficeCommand::Charge(command) => charge::run(command, caller).await,
        OfficeCommand::Advance(command) => advance::run(command, caller).await,
        OfficeCommand::Payment(command) => payment::run(command, caller).await,
        OfficeCommand::Hours(command) => hours::run(command, caller).await,
        OfficeCommand::Holdback(command) => holdback::run(command, caller).await,
        OfficeCommand::TakeBack(options) => take_back::run(options, caller).await,
        OfficeCommand::Balance(options) => balance::run(options, client, json).await,
        OfficeCommand::Journal(command) => journal::run(command, client, json).await,
        OfficeCommand::Contract(command) => contract::run(command, caller).await,
        OfficeCommand::Contracts(RegisterCommand::List) => registers::contracts(client, json).await,
        OfficeCommand::People(RegisterCommand::List) => registers::people(client, json).await,
        OfficeCommand::Crews(RegisterCommand::List) => registers::crews(client, json).await,
        OfficeCommand::Jobs(RegisterCommand::List) => registers::jobs(client, json).await,
        OfficeCommand::Mills(RegisterCommand::List) => registers::mills(client, json).await,
        OfficeCommand::Books(command) => books::run(command, caller).await,
        OfficeCommand::Certificate(command) => certificate::run(command, caller).await,
        OfficeCommand::Table(command) => table::run(command, client, json).await,
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
                &[
                    "charge",
                    "file",
                    "--worker",
                    "Asa",
                    "--dated",
                    "2031-06-03",
                    "--kind",
                    "tools",
                    "--says",
                    "saw",
                    "--amount",
                    "0.60",
                ],
                &["charge", "list", "--worker", "Asa", "--from", "2031-06-01"],
                &[
                    "advance",
                    "file",
                    "--worker",
                    ID,
                    "--dated",
                    "2031-06-03",
                    "--says",
                    "boots",
                    "--amount",
                    "9",
                    "--percent-of-pay",
                    "10",
                    "--dry-run",
                ],
                &["advance", "list", "--json"],
                &[
                    "payment",
                    "file",
                    "--mill",
                    "Lower",
                    "--dated",
                    "2031-06-03",
                    "--says",
                    "draft 7",
                    "--amount",
                    "900.00",
                ],
                &["payment", "list", "--worker", "Asa"],
                &[
                    "hours",
                    "file",
                    "--worker",
                    "Asa",
                    "--worked-on",
                    "2031-06-03",
                    "--hours",
                    "9.5",
                    "--for",
                    "piece-work",
                ],
                &["hours", "file", "--sheet", "hours.csv", "--dry-run"],
                &["hours", "list", "--standing"],
                &["holdback", "list"],
                &[
                    "holdback",
                    "release",
                    "--worker",
                    "Asa",
                    "--contract",
                    "Felling",
                    "--dated",
                    "2031-06-30",
                    "--says",
                    "done",
                    "--amount",
                    "5",
                ],
                &["take-back", "charge", ID, "--reason", "charged twice"],
                &["import", "june.jsonl", "july.csv", "--portion", "100", "--json"],
                &["set-aside", "N", "101", "--task", "felling", "--piece", "5", "--reason", "windfall"],
                &["set-aside", ID, "--task", "skidding", "--reason", "moved by the mill"],
                &["contract", "show", "Felling, first crew"],
                &["contract", "amend", "Felling", "terms.json"],
                &["contract", "preview", ID, "terms.json", "--from", "2031-06-01", "--to", "2031-06-07"],
                &["contracts", "list"],
                &["people", "list", "--json"],
                &["books", "gaps", "N"],
                &["books", "void", "N", "7", "9", "--reason", "wet"],
                &["certificate", "list", "--on", "2031-06-03"],
                &["balance"],
                &["balance", "--on", "2031-06-07"],
            ],
            &[
                &["week", "settle", "07/06/2031"],
                &["journal", "export"],
                &["journal", "export", "--format", "xml"],
                &[
                    "charge",
                    "file",
                    "--worker",
                    "Asa",
                    "--dated",
                    "2031-06-03",
                    "--kind",
                    "tools",
                    "--says",
                    "saw",
                    "--amount",
                    "0",
                ],
                &[
                    "charge",
                    "file",
                    "--worker",
                    "Asa",
                    "--dated",
                    "2031-06-03",
                    "--kind",
                    "beer",
                    "--says",
                    "saw",
                    "--amount",
                    "1",
                ],
                &[
                    "charge", "file", "--worker", "Asa", "--dated", "3 June", "--kind", "tools", "--says",
                    "saw", "--amount", "1",
                ],
                &[
                    "advance",
                    "file",
                    "--worker",
                    ID,
                    "--dated",
                    "2031-06-03",
                    "--says",
                    "boots",
                    "--amount",
                    "9",
                    "--percent-of-pay",
                    "10",
                    "--most-a-week",
                    "1",
                ],
                &["payment", "file", "--dated", "2031-06-03", "--says", "draft 7", "--amount", "900.00"],
                &["hours", "file", "--worker", "Asa"],
                &["hours", "file", "--sheet", "hours.csv", "--worker", "Asa"],
                &["take-back", "ticket", ID, "--reason", "wrong"],
                &["set-aside", "N", "101", "--task", "felling"],
                &["people"],
                &["import"],
                &["import", "june.jsonl", "--portion", "0"],
                &["balance", "--on", "today"],
                &["week", "rederive", "soon"],
                &["week", "preview", "soon"],
                &["week", "post", "soon"],
            ],
        );
    }
}
