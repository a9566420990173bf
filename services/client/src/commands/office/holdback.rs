//! `skid holdback`: what is held of workers' pay, and letting it go.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::text;
use jiff::civil::Date;
use settlement::Amount;
use wire::{ReleaseCreate, ReleaseView, Remark};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};

/// What to do with holdback.
#[derive(Debug, Subcommand)]
pub(crate) enum HoldbackCommand {
    /// List what is held, by worker and contract, and what was let go.
    List(ListOptions),
    /// Let go of what is held.
    Release(ReleaseOptions),
}

/// Whose.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// Of this worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: Option<String>,
}

/// What is let go.
#[derive(Debug, Args)]
pub(crate) struct ReleaseOptions {
    /// Of which worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: String,
    /// Held under which contract; a title or an id.
    #[arg(long, value_name = "TITLE")]
    contract: String,
    /// The day.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    dated: Date,
    /// Why, in words.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    says: Remark,
    /// How much, in the outfit's currency, such as 12.50.
    #[arg(long, value_parser = parsed::<Amount>)]
    amount: Amount,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Does it.
pub(crate) async fn run(command: &HoldbackCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        HoldbackCommand::List(options) => {
            let of = naming::worker_if_any(client, options.worker.as_deref()).await?;
            output::list(&client.list_holdback(of).await?, json, text::holdback)?;
            Ok(Ending::Done)
        }
        HoldbackCommand::Release(options) => {
            let release = ReleaseCreate {
                worker_id: naming::worker(client, &options.worker).await?,
                contract_id: naming::contract(client, &options.contract).await?,
                dated: options.dated,
                says: options.says.clone(),
                amount: options.amount,
            };
            file(&Filing::release(&release)?, options.filing, caller, released).await
        }
    }
}

fn released(release: &ReleaseView) -> String {
    let ReleaseView { payee, amount, contract_title, release_id, .. } = release;
    format!("{amount} of {contract_title} let go to {}.\n    {release_id}\n", payee.name)
}
