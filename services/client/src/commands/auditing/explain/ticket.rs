//! `skid explain ticket`: a ticket or one of its pieces followed up to the pay.

use anyhow::Context;
use clap::Args;
use client::{Client, TicketQuery, all_pages, text};
use kernel::TicketId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which ticket, and which piece of it.
#[derive(Debug, Args)]
pub(crate) struct TicketOptions {
    /// The ticket by its id, or by its book and number; then, for one piece alone, the piece's place on it.
    #[arg(value_name = "ID [PIECE] | BOOK NUMBER [PIECE]", num_args = 1..=3, required = true)]
    words: Vec<String>,
}

/// Prints the explanation.
pub(crate) async fn run(options: &TicketOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let words: Vec<&str> = options.words.iter().map(String::as_str).collect();
    let (ticket, piece) = match words.as_slice() {
        [id, rest @ ..] if id.parse::<TicketId>().is_ok() => (id.parse()?, rest.first()),
        [book, number, rest @ ..] => (in_book(client, book, number).await?, rest.first()),
        _ => anyhow::bail!("name the ticket by its id, or by its book and number"),
    };
    let explained = match piece {
        None => client.explain_ticket(ticket).await?,
        Some(piece) => {
            let piece = piece.parse().with_context(|| format!("{piece} is no place on a ticket"))?;
            client.explain_piece(ticket, piece).await?
        }
    };
    output::paper(&explained, json, text::ticket_explanation)?;
    Ok(Ending::Done)
}

/// The ticket with this number in this book.
async fn in_book(client: &Client, book: &str, number: &str) -> anyhow::Result<TicketId> {
    let wanted: u32 = number.parse().with_context(|| format!("{number} is no number of a ticket"))?;
    let query = TicketQuery { book: Some(book.to_owned()), limit: Some(500), ..TicketQuery::default() };
    let found =
        all_pages(async |after| client.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    let found = found.into_iter().find(|one| one.ticket.number == wanted);
    found.map(|one| one.ticket_id).with_context(|| format!("no ticket {book} {number} is in the books"))
}
