//! `skid take-back`: a record of money taken back; it stays readable.

use clap::{Args, ValueEnum};
use client::filing::Filing;
use wire::{MoneyRecord, Remark, ReversalCreate};

use crate::commands::ending::Ending;
use crate::commands::naming::parsed;
use crate::commands::record::{Caller, FilingOptions, file};

/// What is taken back.
#[derive(Debug, Args)]
pub(crate) struct TakeBackOptions {
    /// What kind of record.
    kind: Kind,
    /// Its id, as the lists show it.
    id: String,
    /// Why.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    reason: Remark,
    #[command(flatten)]
    filing: FilingOptions,
}

/// A kind of record of money.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Kind {
    Charge,
    Advance,
    Payment,
    Release,
}

/// Takes it back.
pub(crate) async fn run(options: &TakeBackOptions, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let id = &options.id;
    let record = match options.kind {
        Kind::Charge => MoneyRecord::ChargeId(id.parse()?),
        Kind::Advance => MoneyRecord::AdvanceId(id.parse()?),
        Kind::Payment => MoneyRecord::PaymentId(id.parse()?),
        Kind::Release => MoneyRecord::ReleaseId(id.parse()?),
    };
    let reversal = ReversalCreate { record, reason: options.reason.clone() };
    file(&Filing::reversal(&reversal)?, options.filing, caller, |back| {
        format!("Taken back: {}. It stays readable.\n    {}\n", back.reason, back.reversal_id)
    })
    .await
}
