//! The contractor audits: volume against pay, one pay line followed down to a stick, a week computed again, and a stick
//! followed up to the pay, and the mill's tally beside the scale.

use anyhow::Context;
use client::{AuditQuery, Client, OverrunQuery, SpanQuery};
use jiff::civil::Date;
use kernel::{MillId, SettlementId};
use serde_json::json;
use settlement::Task;
use wire::LineView;

/// Holds the volume of both weeks against their pay.
pub(super) async fn volume_against_pay(contractor: &Client, from: Date, to: Date) -> anyhow::Result<()> {
    let audit = contractor.audit_volume_against_pay(&AuditQuery::of_days(from, to)).await?;
    println!("{}", client::text::audit(&audit));
    Ok(())
}

/// Counts the exceptions of both weeks by kind.
pub(super) async fn exceptions(contractor: &Client, from: Date, to: Date) -> anyhow::Result<()> {
    let summary = contractor.summarize_exceptions(&SpanQuery { from, to, job_id: None }).await?;
    println!("  Exceptions: {}", client::text::exceptions_by_kind(&summary));
    Ok(())
}

/// The mill says what it sawed, and that stands beside the scale.
pub(super) async fn what_the_mill_sawed(
    (bookkeeper, contractor): (&Client, &Client),
    mill: MillId,
    (from, to): (Date, Date),
) -> anyhow::Result<()> {
    let tally = json!({"mill_id": mill, "from": from, "to": to, "lumber": {"in_all": "9570"},
                       "lumber_state": "rough_green", "tallied_by": "Tallyman of the mill"});
    bookkeeper.file_mill_tally(&serde_json::from_value(tally)?).await?;
    let query = OverrunQuery { from, to, mill_id: Some(mill), job_id: None };
    let audit = contractor.audit_overrun(&query).await?;
    for figure in audit.rows.iter().flat_map(|row| &row.figures) {
        println!(
            "  The mill sawed {} board feet of {}: {} percent over the {} scale by {}, {}.",
            figure.tally,
            figure.lumber.says(),
            figure.percent,
            figure.base.name(),
            figure.rule,
            figure.scale
        );
    }
    println!();
    Ok(())
}

/// Follows the adjustment of the felling that the correction made down to its sticks.
pub(super) async fn follow(contractor: &Client, settlement: SettlementId) -> anyhow::Result<()> {
    let line = corrected(contractor, settlement).await?;
    let explained = contractor.explain_line(settlement, line.number).await?;
    println!("{}", client::text::explanation(&explained));
    Ok(())
}

/// Computes a posted week again from the measured facts.
pub(super) async fn compute_again(contractor: &Client, settlement: SettlementId) -> anyhow::Result<()> {
    let done = contractor.rederive_settlement(settlement, None).await?;
    anyhow::ensure!(done.agrees, "{}", client::text::rederivation(&done));
    println!(
        "  {} lines, {} tickets, {} sticks computed again in {} ms; all as posted.\n",
        done.compared.lines, done.compared.tickets, done.compared.pieces, done.took_milliseconds
    );
    Ok(())
}

/// Follows the first stick of the ticket that was corrected up to where it was paid and taken back.
pub(super) async fn follow_up(contractor: &Client, settlement: SettlementId) -> anyhow::Result<()> {
    let line = corrected(contractor, settlement).await?;
    let ticket = line.withdrawn.first().context("the adjustment takes no ticket back")?;
    let explained = contractor.explain_piece(ticket.ticket_id, 1).await?;
    println!("{}", client::text::ticket_explanation(&explained));
    Ok(())
}

/// The adjustment of the felling that the correction made.
async fn corrected(contractor: &Client, settlement: SettlementId) -> anyhow::Result<LineView> {
    let shown = contractor.show_settlement(settlement).await?;
    let adjusts =
        |line: &LineView| line.task == Task::Felling && !line.withdrawn.is_empty() && !line.amount.is_zero();
    let line = shown.lines.into_iter().find(adjusts);
    line.context("the correction made no adjustment to the felling")
}
