//! `skid charge`: board, lodging, the camp's store, tools.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::{ChargeQuery, all_pages, text};
use jiff::civil::Date;
use settlement::{Amount, ChargeKind};
use wire::{ChargeCreate, Remark};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};
use crate::commands::spans::SpanOptions;

/// What to do with charges.
#[derive(Debug, Subcommand)]
pub(crate) enum ChargeCommand {
    /// File a charge against a worker's pay.
    File(FileOptions),
    /// List charges, with what is left to take.
    List(SpanOptions),
}

/// The charge.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// Whose pay; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: String,
    /// Its day.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    dated: Date,
    /// What kind: board, lodging, store, tools, other.
    #[arg(long, value_parser = parsed::<ChargeKind>)]
    kind: ChargeKind,
    /// What it is for, in words.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    says: Remark,
    /// How much, in the outfit's currency, such as 12.50.
    #[arg(long, value_parser = parsed::<Amount>)]
    amount: Amount,
    /// At most this much from one week's pay.
    #[arg(long, value_name = "AMOUNT", value_parser = parsed::<Amount>)]
    most_a_week: Option<Amount>,
    /// It may cut into the pay that a minimum protects: board and lodging only, where the law lets it.
    #[arg(long)]
    cuts_into_minimum: bool,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Does it.
pub(crate) async fn run(command: &ChargeCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        ChargeCommand::File(options) => {
            let charge = ChargeCreate {
                worker_id: naming::worker(client, &options.worker).await?,
                dated: options.dated,
                kind: options.kind,
                says: options.says.clone(),
                amount: options.amount,
                most_a_week: options.most_a_week,
                cuts_into_minimum: options.cuts_into_minimum,
            };
            file(&Filing::charge(&charge)?, options.filing, caller, |charge| {
                text::charges(std::slice::from_ref(charge))
            })
            .await
        }
        ChargeCommand::List(of) => {
            let worker_id = naming::worker_if_any(client, of.worker.as_deref()).await?;
            let found = all_pages(async |after| {
                let query = ChargeQuery { worker_id, from: of.from, to: of.to, after, limit: Some(500) };
                client.list_charges(&query).await
            })
            .await?;
            output::list(&found, json, text::charges)?;
            Ok(Ending::Done)
        }
    }
}
