//! The contractor keeps the seal of a week, and holds the next one against it.

use anyhow::Context;
use client::verify::{Given, verify};
use client::{Client, PageQuery, SealedRecord, TicketQuery, all_pages};
use seal::Seal;

/// The latest seal, as the contractor keeps it.
pub(super) async fn keep(contractor: &Client) -> anyhow::Result<Seal> {
    let seals =
        all_pages(async |after| contractor.list_seals(&PageQuery { after, limit: None }).await).await?;
    let seal = seals.into_iter().max_by_key(|seal| seal.statement.tree_size).context("nothing was sealed")?;
    println!("  The posting sealed {} records; the contractor keeps the seal:", seal.statement.tree_size);
    println!("    {}\n", seal.statement.root_hash);
    Ok(seal)
}

/// Holds the seal of another week against the one that was kept, and a ticket against both.
pub(super) async fn compare(contractor: &Client, kept: Seal) -> anyhow::Result<()> {
    let now = keep(contractor).await?;
    let (id, from) = (now.statement.seal_id, kept.statement.seal_id);
    let first = contractor.list_tickets(&TicketQuery { limit: Some(1), ..TicketQuery::default() }).await?;
    let ticket = first.items.first().context("there is no ticket")?.ticket_id;
    let inclusion = contractor.show_seal_inclusion(id, SealedRecord::Ticket(ticket)).await?;
    let report = verify(&Given {
        known_key: Some(kept.statement.public_key),
        consistency: Some(contractor.show_seal_consistency(id, from).await?),
        kept: Some(kept),
        inclusions: vec![("the proof".to_owned(), inclusion)],
        ..Given::of(now)
    });
    anyhow::ensure!(report.holds(), "the seals do not hold: {report:?}");
    println!("{}", client::text::verified(&report));
    Ok(())
}
