//! What stands beside the scale in a worker's pay: wage terms, money paid out, hours, an advance, charges.

use anyhow::Context;
use client::Client;
use jiff::civil::Date;
use kernel::WorkerId;
use serde::Deserialize;
use settlement::{Amount, ChargeKind, DayHours, Recovery};
use wire::{
    AdvanceCreate, ChargeCreate, Name, PaymentCreate, PaymentParty, Remark, TimeEntryCreate, TimeFor,
    WageTermsCreate,
};

/// All of it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct BesideTheScale {
    wage_terms: WageTermsCreate,
    paid_out: PaidOut,
    hours: Days,
    advance: Advance,
    charges: Vec<Charge>,
}

/// Money handed to a worker.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PaidOut {
    worker: Name,
    dated: Date,
    says: Remark,
    amount: Amount,
}

/// So many hours of piece work on each of some days.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Days {
    worker: Name,
    days: Vec<Date>,
    hours: DayHours,
}

/// Money handed to a worker before it was earned.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Advance {
    worker: Name,
    dated: Date,
    says: Remark,
    amount: Amount,
    recovery: Recovery,
}

/// A charge against a worker's pay.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Charge {
    worker: Name,
    dated: Date,
    kind: ChargeKind,
    says: Remark,
    amount: Amount,
    cuts_into_minimum: bool,
}

/// Files it.
pub(super) async fn file(bookkeeper: &Client) -> anyhow::Result<()> {
    let beside: BesideTheScale = serde_json::from_str(include_str!("beside_the_scale.json"))?;
    let workers = bookkeeper.list_workers(&client::PageQuery::default()).await?.items;
    let worker = |name: &Name| -> anyhow::Result<WorkerId> {
        let found = workers.iter().find(|one| one.name == name.as_str());
        Ok(found.with_context(|| format!("the scenario has no {name}"))?.worker_id)
    };
    let _terms = bookkeeper.file_wage_terms(&beside.wage_terms).await?;
    let PaidOut { worker: paid, dated, says, amount } = beside.paid_out;
    let party = PaymentParty::WorkerId(worker(&paid)?);
    let _payment = bookkeeper.file_payment(&PaymentCreate { party, dated, says, amount }).await?;
    for day in &beside.hours.days {
        let entry = TimeEntryCreate {
            worker_id: worker(&beside.hours.worker)?,
            worked_on: *day,
            hours: Some(beside.hours.hours),
            what_for: TimeFor::PieceWork {},
            corrects: None,
        };
        let _entry = bookkeeper.file_time(&entry).await?;
    }
    let Advance { worker: advanced, dated, says, amount, recovery } = beside.advance;
    let worker_id = worker(&advanced)?;
    let _advance =
        bookkeeper.file_advance(&AdvanceCreate { worker_id, dated, says, amount, recovery }).await?;
    let count = beside.charges.len();
    for Charge { worker: charged, dated, kind, says, amount, cuts_into_minimum } in beside.charges {
        let worker_id = worker(&charged)?;
        let most_a_week = None;
        let _charge = bookkeeper
            .file_charge(&ChargeCreate {
                worker_id,
                dated,
                kind,
                says,
                amount,
                most_a_week,
                cuts_into_minimum,
            })
            .await?;
    }
    println!(
        "  Wage terms, money paid out to {paid}, {} days of his hours, an advance and {count} charges are filed.\n",
        beside.hours.days.len()
    );
    Ok(())
}
