//! `skid ticket list`: tickets, oldest accepted first.

use clap::Args;
use client::{Client, TicketQuery, all_pages, text};
use jiff::civil::Date;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which tickets.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// Scaled on this day or later.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<Date>,
    /// Scaled on this day or earlier.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
    /// From this scale book.
    #[arg(long)]
    book: Option<String>,
    /// Only tickets that no other one corrects.
    #[arg(long)]
    standing: bool,
}

/// Prints them: a table, or one JSON object a line.
pub(crate) async fn run(options: &ListOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query = TicketQuery {
        book: options.book.clone(),
        from: options.from,
        to: options.to,
        standing: options.standing.then_some(true),
        limit: Some(500),
        ..TicketQuery::default()
    };
    let found =
        all_pages(async |after| client.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    if json {
        for ticket in &found {
            output::json_line(ticket)?;
        }
    } else {
        output::text(&text::tickets(&found))?;
    }
    Ok(Ending::Done)
}
