//! `skid explain ticket`: a ticket or one of its pieces followed up to the pay.

use anyhow::Context;
use clap::Args;
use client::{Client, text};
use kernel::TicketId;

use crate::commands::ending::Ending;
use crate::commands::{naming, output};

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
        [book, number, rest @ ..] => (naming::in_book(client, book, number).await?, rest.first()),
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
