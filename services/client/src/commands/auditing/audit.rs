//! `skid audit`: volume against pay, what mills owe against what crews earn, and exceptions.

mod exceptions;
mod margin;

use clap::{Args, Subcommand};
use client::{AuditQuery, Client, text};
use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId};

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which days, and which job; or another question.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub(crate) struct AuditOptions {
    #[command(subcommand)]
    other: Option<AuditCommand>,
    /// The first day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD", required = true)]
    from: Option<Date>,
    /// The last day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD", required = true)]
    to: Option<Date>,
    /// Only contracts of this job.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
    /// Only this contract, and the wood that it is about.
    #[arg(long, value_name = "ID")]
    contract: Option<ContractId>,
    /// Only contracts with this crew, and the pieces that it worked.
    #[arg(long, value_name = "ID")]
    crew: Option<CrewId>,
}

/// What else to ask.
#[derive(Debug, Subcommand)]
pub(crate) enum AuditCommand {
    /// Hold what mills owe for the wood against what crews earn on it.
    Margin(margin::MarginOptions),
    /// List what an auditor would stop at. Ends with 5 when there is anything.
    Exceptions(exceptions::ExceptionOptions),
}

/// Prints the audit.
pub(crate) async fn run(options: &AuditOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match &options.other {
        Some(AuditCommand::Margin(options)) => return margin::run(options, client, json).await,
        Some(AuditCommand::Exceptions(options)) => return exceptions::run(options, client, json).await,
        None => {}
    }
    let (Some(from), Some(to)) = (options.from, options.to) else {
        anyhow::bail!("name the first and the last day with --from and --to");
    };
    let query =
        AuditQuery { from, to, job_id: options.job, contract_id: options.contract, crew_id: options.crew };
    let found = client.audit_volume_against_pay(&query).await?;
    output::paper(&found, json, text::audit)?;
    Ok(Ending::Done)
}
