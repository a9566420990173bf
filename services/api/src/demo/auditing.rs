//! The contractor audits: volume against pay, the mill's tally beside the scale, and one pay line followed down to a stick.

use anyhow::Context;
use client::{AuditQuery, Client, OverrunQuery};
use jiff::civil::Date;
use kernel::{MillId, SettlementId};
use serde_json::json;
use settlement::Task;

/// Holds the volume of both weeks against their pay.
pub(super) async fn volume_against_pay(contractor: &Client, from: Date, to: Date) -> anyhow::Result<()> {
    let audit = contractor.audit_volume_against_pay(&AuditQuery { from, to, job_id: None }).await?;
    println!("{}", client::text::audit(&audit));
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
    let shown = contractor.show_settlement(settlement).await?;
    let line = shown
        .lines
        .iter()
        .find(|line| line.task == Task::Felling && !line.withdrawn.is_empty() && !line.amount.is_zero())
        .context("the correction made no adjustment to the felling")?;
    let explained = contractor.explain_line(settlement, line.number).await?;
    println!("{}", client::text::explanation(&explained));
    Ok(())
}
