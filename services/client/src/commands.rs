//! What the program `skid` can be told to do, one command to a file.

mod audit;
mod balance;
mod check_scale;
mod cruise;
mod ending;
mod explain;
mod journal;
mod kept;
mod line;
mod output;
mod overrun;
mod paper;
mod reading;
mod report;
mod scale;
mod seal;
mod service;
mod sign_in;
mod statement;
mod table;
mod tally;
mod ticket;
mod typed;
mod verify;
mod week;

use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use ending::Ending;

const STATUSES: &str = "\
Statuses it ends with:
  0  done
  1  wrong usage, or a fault on this machine
  2  some lines could not be scaled
  3  refused by the service
  4  the service was not reachable
  5  it was looked into, and something is not as it should be: exceptions were
     found, a week computed again differs, a proof does not hold

The access token comes from the file named with --token-file, or from the
environment variable SKID_TOKEN, or from `skid sign-in`, in this order. Neither
it nor a password is ever taken from the command line, where others on the
machine could read it.";

/// Scales sticks, posts scale tickets, settles weeks, prints statements, and holds volume against pay.
///
/// It computes from what was measured and agreed. It is no legal advice: local law and licensed professionals decide
/// what must be paid and who may scale.
#[derive(Debug, Parser)]
#[command(name = "skid", version, after_long_help = STATUSES, after_help = "More with --help.")]
struct Skid {
    #[command(flatten)]
    everywhere: Everywhere,
    #[command(subcommand)]
    command: Command,
}

/// What can be said with every command.
#[derive(Debug, Args)]
struct Everywhere {
    #[command(flatten)]
    service: service::ServiceOptions,
    /// Write JSON for other programs, one object a line.
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
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
    /// Set your password, with the enrolment code that the manager handed over. Asks for both.
    Enrol(sign_in::EnrolOptions),
    /// Sign in, for the commands that follow. Asks for the password.
    SignIn(sign_in::SignInOptions),
    /// Sign out.
    SignOut,
    /// Post, show and list scale tickets.
    #[command(subcommand)]
    Ticket(ticket::TicketCommand),
    /// Settle a week, or show a settlement.
    #[command(subcommand)]
    Week(week::WeekCommand),
    /// Statements: what each payee has coming.
    #[command(subcommand)]
    Statement(statement::StatementCommand),
    /// Check scales: samples that somebody else scales again.
    #[command(subcommand)]
    CheckScale(check_scale::CheckScaleCommand),
    /// The outfit's own log rules, filed as tables.
    #[command(subcommand)]
    Table(table::TableCommand),
    /// Lines of a settlement.
    #[command(subcommand)]
    Line(line::LineCommand),
    /// Follow pay down to the sticks, or a stick up to the pay.
    #[command(subcommand)]
    Explain(explain::ExplainCommand),
    /// The journal: what every account stands at, and handing it over to other tools.
    #[command(subcommand)]
    Journal(journal::JournalCommand),
    /// What everybody has coming, and what mills owe, at the end of a day.
    Balance(balance::BalanceOptions),
    /// Hold volume against pay over a span of days, or what mills owe against what crews earn.
    Audit(audit::AuditOptions),
    /// Report volume, cost, defect and pay over some weeks: a page with charts to print, rows, or JSON.
    Report(report::ReportOptions),
    /// What is handed over on paper: tickets, statements, crew sheets, the report; as PDF or as a page.
    #[command(subcommand)]
    Paper(paper::PaperCommand),
    /// Mill tallies: what mills sawed.
    #[command(subcommand)]
    Tally(tally::TallyCommand),
    /// Hold what mills sawed against the scale of the logs.
    Overrun(overrun::OverrunOptions),
    /// Cruises: estimates of standing timber, and what was cut beside them.
    #[command(subcommand)]
    Cruise(cruise::CruiseCommand),
    /// Seals: everything that was accepted up to a moment, as one signed hash.
    #[command(subcommand)]
    Seal(seal::SealCommand),
    /// Verify seals and proofs from files. Needs no service.
    ///
    /// Says what is shown by what is given, what is wrong, and what is not shown by it. The status at the end is 5
    /// when anything is wrong.
    Verify(verify::VerifyOptions),
}

/// Does what the command line says; answers the status to end with.
pub fn run() -> ExitCode {
    let skid = match Skid::try_parse() {
        Ok(skid) => skid,
        Err(told) => {
            // Help and version come this way too, and are no faults. If they cannot be printed, nothing can.
            let _ = told.print();
            let ending = if told.use_stderr() { Ending::Fault } else { Ending::Done };
            return ending.status();
        }
    };
    let json = skid.everywhere.json;
    skid.execute().unwrap_or_else(|error| output::report(&error, json)).status()
}

impl Skid {
    fn execute(self) -> anyhow::Result<Ending> {
        if let Command::Scale(options) = &self.command {
            return Ok(scale::run(options, std::io::stdin().lock(), std::io::stdout().lock())?);
        }
        let json = self.everywhere.json;
        if let Command::Verify(options) = &self.command {
            return verify::run(options, json);
        }
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        runtime.block_on(async {
            let service = &self.everywhere.service;
            let client = match &self.command {
                // Whoever signs in has no token yet, or an old one.
                Command::Enrol(_) | Command::SignIn(_) | Command::SignOut => service.nobody()?,
                _ => service.client().await?,
            };
            match &self.command {
                Command::Scale(_) | Command::Verify(_) => Ok(Ending::Done),
                Command::Enrol(options) => sign_in::enrol(options, &client, json).await,
                Command::SignIn(options) => sign_in::sign_in(options, &client, json).await,
                Command::SignOut => sign_in::sign_out(&client, json).await,
                Command::Ticket(command) => ticket::run(command, &client, json).await,
                Command::Week(command) => week::run(command, &client, json).await,
                Command::Statement(command) => statement::run(command, &client, json).await,
                Command::CheckScale(command) => check_scale::run(command, &client, json).await,
                Command::Table(command) => table::run(command, &client, json).await,
                Command::Line(command) => line::run(command, &client, json).await,
                Command::Explain(command) => explain::run(command, &client, json).await,
                Command::Journal(command) => journal::run(command, &client, json).await,
                Command::Balance(options) => balance::run(options, &client, json).await,
                Command::Audit(options) => audit::run(options, &client, json).await,
                Command::Report(options) => report::run(options, &client, json).await,
                Command::Paper(command) => paper::run(command, &client, json).await,
                Command::Tally(command) => tally::run(command, &client, json).await,
                Command::Overrun(options) => overrun::run(options, &client, json).await,
                Command::Cruise(command) => cruise::run(command, &client, json).await,
                Command::Seal(command) => seal::run(command, &client, json).await,
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_sound() {
        use clap::CommandFactory;
        Skid::command().debug_assert();
    }

    const ID: &str = "0197a000-0000-7000-8000-000000000001";

    const UNDERSTOOD: &[&[&str]] = &[
        &["scale", "--working"],
        &["scale", "--plain"],
        &["ticket", "post", "a.json", "-"],
        &["ticket", "show", ID, "--working", "--json"],
        &["ticket", "list", "--from", "2031-06-01", "--to", "2031-06-07", "--book", "A", "--standing"],
        &["week", "settle", "2031-06-07", "--post"],
        &["week", "show", ID],
        &["statement", "show", ID],
        &["check-scale", "file", "check.json"],
        &["check-scale", "show", ID, "--confidence", "99", "--allowed-error", "2.5", "--working"],
        &["table", "check", "camp.json"],
        &["enrol", "--outfit", ID, "--account", ID],
        &["sign-in", "--outfit", ID, "--name", "Ida"],
        &["sign-out", "--service", "http://host"],
        &["line", "explain", ID, "3"],
        &["explain", "line", ID, "3"],
        &["explain", "statement", ID, "3"],
        &["explain", "ticket", ID],
        &["explain", "ticket", ID, "2"],
        &["explain", "ticket", "A", "115"],
        &["explain", "ticket", "A", "115", "2", "--json"],
        &["week", "rederive", "2031-06-07"],
        &["week", "rederive", "2031-06-07", "--contract", ID],
        &["audit", "--from", "2031-06-01", "--to", "2031-06-07", "--job", ID],
        &["audit", "margin", "--from", "2031-06-01", "--to", "2031-06-07", "--job", ID, "--json"],
        &["audit", "--from", "2031-06-01", "--to", "2031-06-07", "--contract", ID, "--crew", ID],
        &["report", "--from", "2031-06-01", "--to", "2031-06-07"],
        &[
            "report",
            "--from",
            "2031-06-01",
            "--to",
            "2031-06-07",
            "--job",
            ID,
            "--format",
            "csv",
            "--out",
            "a.csv",
        ],
        &["tally", "file", "tally.json"],
        &["overrun", "--from", "2031-06-01", "--to", "2031-06-30", "--mill", ID, "--job", ID],
        &["cruise", "file", "cruise.json", "--json"],
        &["cruise", "show", ID, "--confidence", "ninety-nine", "--allow", "10"],
        &["cruise", "cut-out", ID, "--contract", ID, "--to", "2031-06-30"],
        &["week", "crew", ID, ID],
        &["journal", "export", "--format", "text"],
        &["journal", "export", "--format", "csv", "--from", "2031-06-01", "--to", "2031-06-07"],
        &["journal", "balance", "--on", "2031-06-07"],
        &["balance"],
        &["balance", "--on", "2031-06-07"],
        &["--service", "http://host", "--token-file", "t", "week", "show", ID],
    ];

    const NOT_UNDERSTOOD: &[&[&str]] = &[
        &["scale", "--plain", "--json"],
        &["ticket", "post"],
        &["check-scale", "show", ID, "--confidence", "80"],
        &["sign-in", "--outfit", ID, "--name", "ida", "--password", "p"],
        &["sign-in", "--outfit", ID, "--name", "ida holmquill"],
        &["ticket", "show", "17"],
        &["week", "settle", "07/06/2031"],
        &["audit", "--from", "2031-06-01"],
        &["audit"],
        &["audit", "margin"],
        &["report"],
        &["report", "--from", "2031-06-01", "--to", "2031-06-07", "--format", "pdf"],
        &["overrun", "--from", "2031-06-01"],
        &["tally", "file"],
        &["cruise", "show", ID, "--confidence", "80"],
        &["cruise", "cut-out", ID],
        &["audit", "--from", "2031-06-01", "margin", "--to", "2031-06-07"],
        &["journal", "export"],
        &["journal", "export", "--format", "xml"],
        &["balance", "--on", "today"],
        &["line", "explain", ID, "-1"],
        &["explain", "line", ID],
        &["explain", "statement", ID, "0"],
        &["explain", "ticket"],
        &["explain", "ticket", "A", "1", "2", "3"],
        &["week", "rederive", "soon"],
    ];

    #[test]
    fn every_command_is_understood() {
        for words in UNDERSTOOD {
            let line = ["skid"].iter().chain(*words);
            assert!(Skid::try_parse_from(line).is_ok(), "{words:?}");
        }
        for words in NOT_UNDERSTOOD {
            let line = ["skid"].iter().chain(*words);
            assert!(Skid::try_parse_from(line).is_err(), "{words:?}");
        }
    }

    #[test]
    fn every_command_about_seals_is_understood() {
        let id = ID;
        for words in [
            &["seal", "make"][..],
            &["seal", "list", "--json"],
            &["seal", "show"],
            &["seal", "check", id],
            &[
                "seal",
                "save",
                "kept",
                "--seal",
                id,
                "--kept",
                "a.json",
                "--ticket",
                id,
                "--ticket",
                id,
                "--records",
            ],
            &["verify", "--seal", "a.json"],
            &[
                "verify",
                "--seal",
                "a.json",
                "--kept",
                "b.json",
                "--consistency",
                "c.json",
                "--record",
                "d.json",
            ],
        ] {
            let line = ["skid"].iter().chain(words);
            assert!(Skid::try_parse_from(line).is_ok(), "{words:?}");
        }
        for words in [
            &["seal", "save"][..],
            &["verify"],
            &["verify", "--seal", "a.json", "--key", "short"],
            &["verify", "--seal", "a.json", "--consistency", "c.json"],
        ] {
            let line = ["skid"].iter().chain(words);
            assert!(Skid::try_parse_from(line).is_err(), "{words:?}");
        }
    }
}
