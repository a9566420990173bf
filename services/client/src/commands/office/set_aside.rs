//! `skid set-aside`: a task of a ticket that is not paid by the piece.

use clap::Args;
use client::filing::Filing;
use settlement::Task;
use wire::{Remark, SetAsideCreate};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::record::{Caller, FilingOptions, file};

/// What is set aside.
#[derive(Debug, Args)]
pub(crate) struct SetAsideOptions {
    /// The ticket by its book and number, or by its id.
    #[arg(value_name = "BOOK NUMBER | ID", num_args = 1..=2, required = true)]
    ticket: Vec<String>,
    /// The task, such as felling or skidding.
    #[arg(long, value_parser = parsed::<Task>)]
    task: Task,
    /// The piece, by its place on the ticket from 1; every piece when left out.
    #[arg(long, value_name = "PLACE")]
    piece: Option<u16>,
    /// Why nobody is paid for it by the piece.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    reason: Remark,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Sets it aside.
pub(crate) async fn run(options: &SetAsideOptions, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let client = caller.client;
    let ticket = naming::ticket(client, &options.ticket).await?;
    let decision =
        SetAsideCreate { task: options.task, piece: options.piece, reason: options.reason.clone() };
    let name = options.ticket.join(" ");
    file(&Filing::set_aside(ticket, &decision)?, options.filing, caller, |kept| {
        let piece = kept.piece.map_or_else(|| "every piece".to_owned(), |piece| format!("piece {piece}"));
        format!("Set aside: {name}, {}, {piece}: {}.\n    {}\n", kept.task, kept.reason, kept.set_aside_id)
    })
    .await
}
