//! The auditor: reads while everything goes on, and finds each answer whole and in balance by itself.

use std::sync::Arc;
use std::time::Duration;

use client::{AuditQuery, Client, ClientError, Patience, SettlementQuery};
use jiff::civil::date;

use super::crowd::Work;
use super::outfit::{WEEKS, week_end};
use crate::chance::Chance;

/// Reads until it is over.
pub async fn read(work: Arc<Work>, client: Client, mut chance: Chance) {
    let client = client.with_patience(Patience::NONE);
    while !work.is_over() {
        tokio::time::sleep(Duration::from_millis(300)).await;
        let looked = match chance.below(4) {
            0 => balance(&work, &client).await,
            1 => a_ticket(&work, &client, &mut chance).await,
            2 => volume(&client).await,
            _ => a_week(&work, &client, &mut chance).await,
        };
        if let Err(error) = looked {
            // What does not pass by itself has been noted as a fault.
            work.error_will_pass(&error, "an audit");
        }
    }
}

async fn balance(work: &Work, client: &Client) -> Result<(), ClientError> {
    let balance = client.show_trial_balance(Some(date(2030, 1, 1))).await?;
    if !balance.difference.is_zero() {
        work.fault(format!("the trial balance is out by {}", balance.difference.amount_text()));
    }
    Ok(())
}

/// A ticket that was acknowledged is there from then on, whoever is asked.
async fn a_ticket(work: &Work, client: &Client, chance: &mut Chance) -> Result<(), ClientError> {
    let chosen = work.record(|sent| {
        let acknowledged: Vec<_> = sent
            .tickets
            .values()
            .filter_map(|ticket| Some((ticket.acknowledged?, &ticket.content)))
            .collect();
        chance.pick(&acknowledged).map(|(id, content)| (*id, (*content).clone()))
    });
    let Some((id, content)) = chosen else { return Ok(()) };
    let shown = client.show_ticket(id).await?;
    if shown.ticket != content {
        work.fault(format!("ticket {id} is not shown as it was sent"));
    }
    Ok(())
}

async fn volume(client: &Client) -> Result<(), ClientError> {
    let to = week_end(WEEKS).unwrap_or(date(2026, 12, 31));
    client.audit_volume_against_pay(&AuditQuery::of_days(date(2025, 1, 1), to)).await?;
    Ok(())
}

/// A posted week, computed again from the sticks.
async fn a_week(work: &Work, client: &Client, chance: &mut Chance) -> Result<(), ClientError> {
    let posted = SettlementQuery { posted: Some(true), limit: Some(100), ..SettlementQuery::default() };
    let posted = client.list_settlements(&posted).await?.items;
    let Some(one) = chance.pick(&posted) else { return Ok(()) };
    let again = client.rederive_settlement(one.settlement_id, None).await?;
    if !again.agrees {
        let first = again.differences.first().map(|one| &one.says);
        work.fault(format!("week {} does not come out again: {first:?}", one.week_ends_on));
    }
    Ok(())
}
