//! `skid ticket correct` and `skid ticket void`: another ticket in the place of a wrong one. Both stay readable.

use std::path::PathBuf;

use clap::Args;
use client::filing::Filing;
use client::text;
use wire::{CorrectionCreate, Name, Remark, TicketCreate};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::reading;
use crate::commands::record::{Caller, FilingOptions, file};
use crate::commands::service::ServiceOptions;

/// The wrong ticket and the right one.
#[derive(Debug, Args)]
pub(crate) struct CorrectOptions {
    /// The wrong ticket by its book and number, or by its id.
    #[arg(value_name = "BOOK NUMBER | ID", num_args = 1..=2, required = true)]
    wrong: Vec<String>,
    /// A file with the whole ticket as it should have been, as JSON, under a number of its own.
    #[arg(long, value_name = "FILE")]
    with: PathBuf,
    /// What was wrong.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    reason: Remark,
    #[command(flatten)]
    filing: FilingOptions,
}

/// The ticket that is to hold nothing, and the number under which that is written.
#[derive(Debug, Args)]
pub(crate) struct VoidOptions {
    /// The wrong ticket by its book and number, or by its id.
    #[arg(value_name = "BOOK NUMBER | ID", num_args = 1..=2, required = true)]
    wrong: Vec<String>,
    /// The number that the void ticket gets: one of its own.
    #[arg(long)]
    number: u32,
    /// The scale book of that number; that of the wrong ticket when left out.
    #[arg(long, value_parser = parsed::<Name>)]
    book: Option<Name>,
    /// Why it is void.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    reason: Remark,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Files the right ticket in the place of the wrong one.
pub(crate) async fn correct(
    options: &CorrectOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    let client = &service.client().await?;
    let caller = Caller { client, service, json };
    let wrong = naming::ticket(client, &options.wrong).await?;
    let ticket: TicketCreate = reading::json_file(&options.with, "a ticket")?;
    let correction = CorrectionCreate { reason: options.reason.clone(), ticket };
    file(&Filing::correction(wrong, &correction)?, options.filing, caller, text::ticket).await
}

/// Files a ticket without pieces in the place of the wrong one.
pub(crate) async fn void(
    options: &VoidOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    let client = &service.client().await?;
    let caller = Caller { client, service, json };
    let wrong = naming::ticket(client, &options.wrong).await?;
    let facts = client.show_ticket(wrong).await?.ticket;
    let ticket = TicketCreate {
        book: options.book.clone().unwrap_or_else(|| facts.book.clone()),
        number: options.number,
        work: Vec::new(),
        pieces: Vec::new(),
        turn: None,
        delivered_to: None,
        remarks: None,
        measured_at: None,
        sent_at: None,
        ..facts
    };
    let correction = CorrectionCreate { reason: options.reason.clone(), ticket };
    file(&Filing::correction(wrong, &correction)?, options.filing, caller, text::ticket).await
}
