//! The contractor audits: volume against pay, and one pay line followed down to a stick.

use anyhow::Context;
use client::{AuditQuery, Client};
use jiff::civil::Date;
use kernel::SettlementId;
use settlement::Task;

/// Holds the volume of both weeks against their pay.
pub(super) async fn volume_against_pay(contractor: &Client, from: Date, to: Date) -> anyhow::Result<()> {
    let audit = contractor.audit_volume_against_pay(&AuditQuery::of_days(from, to)).await?;
    println!("{}", client::text::audit(&audit));
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
