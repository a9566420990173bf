//! `skid paper`: what is handed over on paper, as a document to print or a page to read.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;

use anyhow::{Context, bail};
use clap::{Args, Subcommand, ValueEnum};
use client::{Client, PaperOf, ReportQuery};
use jiff::civil::Date;
use kernel::{CrewId, JobId, SettlementId, StatementId, TicketId};
use wire::{PaperFormat, PaperSize};

use super::ending::Ending;

/// What to put on paper.
#[derive(Debug, Subcommand)]
pub(crate) enum PaperCommand {
    /// A scale ticket.
    Ticket {
        /// The ticket.
        ticket: TicketId,
        #[command(flatten)]
        form: Form,
    },
    /// The statement of a worker or a mill.
    Statement {
        /// The statement.
        statement: StatementId,
        #[command(flatten)]
        form: Form,
    },
    /// A crew's sheet of a settlement: how its amount was divided.
    Crew {
        /// The settlement.
        settlement: SettlementId,
        /// The crew.
        crew: CrewId,
        #[command(flatten)]
        form: Form,
    },
    /// The audit report of some weeks.
    Report {
        /// The first day; the week it falls in counts whole.
        #[arg(long, value_name = "YYYY-MM-DD")]
        from: Date,
        /// The last day; the week it falls in counts whole.
        #[arg(long, value_name = "YYYY-MM-DD")]
        to: Date,
        /// Only this job.
        #[arg(long, value_name = "ID")]
        job: Option<JobId>,
        #[command(flatten)]
        form: Form,
    },
}

/// In which form, and where to.
#[derive(Debug, Args)]
pub(crate) struct Form {
    /// In which form. With --json it is JSON in any case.
    #[arg(long, default_value = "pdf")]
    format: Format,
    /// The size of the paper of a document.
    #[arg(long, default_value = "letter")]
    paper: Size,
    /// The file to write; standard output when left out. A file that is there already is written anew.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// The forms, as they are named on the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// A document to print, with its fonts in it.
    Pdf,
    /// One page to read and to print; needs no network.
    Html,
}

/// The sizes, likewise.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Size {
    /// US Letter.
    Letter,
    /// 210 by 297 millimetres.
    A4,
}

/// Fetches it, and prints or writes it.
pub(crate) async fn run(command: &PaperCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let (of, form) = match command {
        PaperCommand::Ticket { ticket, form } => (PaperOf::Ticket(*ticket), form),
        PaperCommand::Statement { statement, form } => (PaperOf::Statement(*statement), form),
        PaperCommand::Crew { settlement, crew, form } => (PaperOf::CrewSheet(*settlement, *crew), form),
        PaperCommand::Report { from, to, job, form } => {
            (PaperOf::Report(ReportQuery { from: *from, to: *to, job_id: *job }), form)
        }
    };
    let size = match form.paper {
        Size::Letter => PaperSize::Letter,
        Size::A4 => PaperSize::A4,
    };
    let (format, size) = match form.format {
        _ if json => (PaperFormat::Json, None),
        Format::Html => (PaperFormat::Html, None),
        Format::Pdf => (PaperFormat::Pdf, Some(size)),
    };
    if format == PaperFormat::Pdf && form.out.is_none() && io::stdout().is_terminal() {
        bail!(
            "a PDF document is not for a terminal: name a file with --out, or send it on to another program"
        );
    }
    let mut paper = client.paper(&of, format, size).await?;
    if format == PaperFormat::Json {
        paper.push(b'\n');
    }
    match &form.out {
        Some(file) => {
            std::fs::write(file, paper).with_context(|| format!("{} cannot be written", file.display()))?;
        }
        None => {
            let mut out = io::stdout().lock();
            out.write_all(&paper).and_then(|()| out.flush()).context("the paper cannot be written")?;
        }
    }
    Ok(Ending::Done)
}
