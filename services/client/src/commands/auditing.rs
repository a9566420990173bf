//! What whoever audits does: following pay, holding what others measured against it, keeping seals.

mod audit;
mod check_scale;
mod cruise;
mod explain;
mod line;
mod overrun;
mod report;
mod seal;
mod tally;
pub(crate) mod verify;

use clap::Subcommand;

use super::ending::Ending;
use super::service::ServiceOptions;

/// What to do when auditing.
#[derive(Debug, Subcommand)]
pub(crate) enum AuditingCommand {
    /// Hold volume against pay over a span of days, or what mills owe against what crews earn.
    Audit(audit::AuditOptions),
    /// Follow pay down to the sticks, or a stick up to the pay.
    #[command(subcommand)]
    Explain(explain::ExplainCommand),
    /// Lines of a settlement.
    #[command(subcommand)]
    Line(line::LineCommand),
    /// Report volume, cost, defect and pay over some weeks: a page with charts to print, rows, or JSON.
    Report(report::ReportOptions),
    /// Check scales: samples that somebody else scales again.
    #[command(subcommand)]
    CheckScale(check_scale::CheckScaleCommand),
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

/// Does it.
pub(crate) async fn run(
    command: &AuditingCommand,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    if !json {
        super::filing::remind(service);
    }
    match command {
        AuditingCommand::Verify(options) => verify::run(options, json),
        AuditingCommand::Audit(command) => audit::run(command, &service.client().await?, json).await,
        AuditingCommand::Explain(command) => explain::run(command, &service.client().await?, json).await,
        AuditingCommand::Line(command) => line::run(command, &service.client().await?, json).await,
        AuditingCommand::Report(command) => report::run(command, &service.client().await?, json).await,
        AuditingCommand::CheckScale(command) => {
            check_scale::run(command, &service.client().await?, json).await
        }
        AuditingCommand::Tally(command) => tally::run(command, &service.client().await?, json).await,
        AuditingCommand::Overrun(command) => overrun::run(command, &service.client().await?, json).await,
        AuditingCommand::Cruise(command) => cruise::run(command, &service.client().await?, json).await,
        AuditingCommand::Seal(command) => seal::run(command, &service.client().await?, json).await,
    }
}

#[cfg(test)]
mod tests {
    use crate::commands::understood::{ID, check};

    #[test]
    fn its_commands_are_understood() {
        check(
            &[
                &["check-scale", "file", "check.json"],
                &["check-scale", "show", ID, "--confidence", "99", "--allowed-error", "2.5", "--working"],
                &["line", "explain", ID, "3"],
                &["explain", "line", ID, "3"],
                &["explain", "statement", ID, "3"],
                &["explain", "ticket", ID],
                &["explain", "ticket", ID, "2"],
                &["explain", "ticket", "A", "115"],
                &["explain", "ticket", "A", "115", "2", "--json"],
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
                &["seal", "make"],
                &["seal", "list", "--json"],
                &["seal", "show"],
                &["seal", "check", ID],
                &[
                    "seal",
                    "save",
                    "kept",
                    "--seal",
                    ID,
                    "--kept",
                    "a.json",
                    "--ticket",
                    ID,
                    "--ticket",
                    ID,
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
            ],
            &[
                &["check-scale", "show", ID, "--confidence", "80"],
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
                &["line", "explain", ID, "-1"],
                &["explain", "line", ID],
                &["explain", "statement", ID, "0"],
                &["explain", "ticket"],
                &["explain", "ticket", "A", "1", "2", "3"],
                &["seal", "save"],
                &["verify"],
                &["verify", "--seal", "a.json", "--key", "short"],
                &["verify", "--seal", "a.json", "--consistency", "c.json"],
            ],
        );
    }
}
