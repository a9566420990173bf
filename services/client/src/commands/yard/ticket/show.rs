//! `skid ticket show`: one ticket, and what became of it.

use clap::Args;
use client::{Client, text};
use kernel::TicketId;
use serde_json::json;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which ticket.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The ticket.
    id: TicketId,
    /// With every step from the readings to the net scale.
    #[arg(long)]
    working: bool,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let ticket = client.show_ticket(options.id).await?;
    let working = if options.working { Some(client.show_working(options.id).await?) } else { None };
    match working {
        Some(working) if json => output::json_line(&json!({ "ticket": ticket, "working": working }))?,
        Some(working) => output::text(&format!("{}\n{}", text::ticket(&ticket), text::working(&working)))?,
        None => output::paper(&ticket, json, text::ticket)?,
    }
    Ok(Ending::Done)
}
