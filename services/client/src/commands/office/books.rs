//! `skid books`: scale books, their missing numbers, and numbers that will never come.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::{PageQuery, all_pages, text};
use wire::{Name, Remark, VoidedNumbersCreate};

use crate::commands::ending::Ending;
use crate::commands::naming::parsed;
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};

/// What to do with scale books.
#[derive(Debug, Subcommand)]
pub(crate) enum BooksCommand {
    /// List the scale books, with how many numbers are missing from each.
    List,
    /// List the numbers missing from a book, with the tickets beside them.
    Gaps(BookOptions),
    /// List the numbers of a book that will never come, and why.
    Voided(BookOptions),
    /// Say of numbers that no ticket will ever have them: a sheet spoiled or lost.
    Void(VoidOptions),
}

/// Which book.
#[derive(Debug, Args)]
pub(crate) struct BookOptions {
    /// The book.
    #[arg(value_parser = parsed::<Name>)]
    book: Name,
}

/// Which numbers, and why.
#[derive(Debug, Args)]
pub(crate) struct VoidOptions {
    /// The book.
    #[arg(value_parser = parsed::<Name>)]
    book: Name,
    /// The first number.
    from: u32,
    /// The last number; the first one alone when left out.
    to: Option<u32>,
    /// Why.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    reason: Remark,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Does it.
pub(crate) async fn run(command: &BooksCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    let page = |after| PageQuery { after, limit: Some(500) };
    match command {
        BooksCommand::List => {
            let found = all_pages(async |after| client.list_scale_books(&page(after)).await).await?;
            output::list(&found, json, text::scale_books)?;
        }
        BooksCommand::Gaps(BookOptions { book }) => {
            let found = all_pages(async |after| client.list_gaps(book, &page(after)).await).await?;
            output::list(&found, json, text::book_gaps)?;
        }
        BooksCommand::Voided(BookOptions { book }) => {
            let found = all_pages(async |after| client.list_voided_numbers(book, &page(after)).await).await?;
            output::list(&found, json, text::voided_numbers)?;
        }
        BooksCommand::Void(options) => {
            let numbers =
                VoidedNumbersCreate { from: options.from, to: options.to, reason: options.reason.clone() };
            let filing = Filing::voided_numbers(&options.book, &numbers)?;
            return file(&filing, options.filing, caller, |voided| {
                text::voided_numbers(std::slice::from_ref(voided))
            })
            .await;
        }
    }
    Ok(Ending::Done)
}
