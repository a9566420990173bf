//! Somebody who is not the scaler scales three sticks of the first week again.

use anyhow::Context;
use client::{Client, ComparisonQuery, PageQuery, TicketQuery};
use jiff::civil::Date;
use scaling::Piece;
use serde::Deserialize;
use wire::{CheckNotice, CheckScaleCreate, CheckedPieceCreate, Name, PieceFound};

/// What he finds.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Found {
    contract: Name,
    book: Name,
    number: u32,
    from: Date,
    to: Date,
    checked_on: Date,
    checker: Name,
    pieces: Vec<Stick>,
}

/// A stick as he measured it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Stick {
    piece: u16,
    facts: Piece,
}

/// Files it, and prints what it comes to.
pub(super) async fn check(scaler: &Client, contractor: &Client) -> anyhow::Result<()> {
    let found: Found = serde_json::from_str(include_str!("check_scale.json"))?;
    let contracts = contractor.list_contracts(&PageQuery::default()).await?.items;
    let contract = contracts.iter().find(|one| one.title == found.contract.as_str());
    let query = TicketQuery { book: Some(found.book.as_str().to_owned()), ..TicketQuery::default() };
    let tickets = scaler.list_tickets(&query).await?.items;
    let ticket = tickets.iter().find(|one| one.ticket.number == found.number);
    let ticket_id = ticket.context("the ticket of the check scale was not posted")?.ticket_id;
    let again = |stick: Stick| {
        let found = PieceFound::ScaledAgain { piece: stick.piece, facts: stick.facts };
        CheckedPieceCreate { ticket_id, found }
    };
    let filed = scaler
        .file_check_scale(&CheckScaleCreate {
            contract_id: contract.context("the contract of the check scale was not filed")?.contract_id,
            from: found.from,
            to: found.to,
            scaler: None,
            checked_on: found.checked_on,
            checker: found.checker,
            notice: CheckNotice::Blind,
            pieces: found.pieces.into_iter().map(again).collect(),
            remarks: None,
        })
        .await?;
    let shown = contractor.show_check_scale(filed.check_scale_id, &ComparisonQuery::default()).await?;
    let says = [shown.verdict.says.first(), shown.money.as_ref().and_then(|money| money.says.first())];
    println!("  {} sticks of {} {}, by {}:", filed.sampled, found.book.as_str(), found.number, filed.checker);
    for says in says.into_iter().flatten() {
        println!("    {says}");
    }
    println!();
    Ok(())
}
