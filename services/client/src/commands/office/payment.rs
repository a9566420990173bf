//! `skid payment`: money handed to workers for what they have coming, and money from mills.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::{PaymentQuery, all_pages, text};
use jiff::civil::Date;
use settlement::Amount;
use wire::{PaymentCreate, PaymentParty, PaymentRecorded, Remark};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};

/// What to do with payments.
#[derive(Debug, Subcommand)]
pub(crate) enum PaymentCommand {
    /// File a payment to a worker, or one that a mill made. It moves no money: it writes down that it moved.
    File(FileOptions),
    /// List payments.
    List(ListOptions),
}

/// The payment.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// To which worker; a name or an id.
    #[arg(long, value_name = "NAME", required_unless_present = "mill")]
    worker: Option<String>,
    /// From which mill; a name or an id.
    #[arg(long, value_name = "NAME", conflicts_with = "worker")]
    mill: Option<String>,
    /// Its day.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    dated: Date,
    /// What it was for or how it was made, in words.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    says: Remark,
    /// How much, in the outfit's currency, such as 12.50.
    #[arg(long, value_parser = parsed::<Amount>)]
    amount: Amount,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Which payments.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// To this worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: Option<String>,
    /// From this mill; a name or an id.
    #[arg(long, value_name = "NAME", conflicts_with = "worker")]
    mill: Option<String>,
    /// Of this day or later.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<Date>,
    /// Of this day or earlier.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
}

/// Does it.
pub(crate) async fn run(command: &PaymentCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        PaymentCommand::File(options) => {
            let party = match (&options.worker, &options.mill) {
                (Some(worker), _) => PaymentParty::WorkerId(naming::worker(client, worker).await?),
                (None, mill) => {
                    let mill = mill.as_deref().unwrap_or_default();
                    PaymentParty::MillId(naming::mill(client, mill).await?)
                }
            };
            let (dated, says, amount) = (options.dated, options.says.clone(), options.amount);
            let payment = PaymentCreate { party, dated, says, amount };
            file(&Filing::payment(&payment)?, options.filing, caller, recorded).await
        }
        PaymentCommand::List(of) => {
            let worker_id = naming::worker_if_any(client, of.worker.as_deref()).await?;
            let mill_id = match &of.mill {
                None => None,
                Some(mill) => Some(naming::mill(client, mill).await?),
            };
            let found = all_pages(async |after| {
                let query =
                    PaymentQuery { worker_id, mill_id, from: of.from, to: of.to, after, limit: Some(500) };
                client.list_payments(&query).await
            })
            .await?;
            output::list(&found, json, text::payments)?;
            Ok(Ending::Done)
        }
    }
}

fn recorded(recorded: &PaymentRecorded) -> String {
    let listed = text::payments(std::slice::from_ref(&recorded.payment));
    format!("{listed}{} stands at {} after it.\n", recorded.payment.payee.name, recorded.balance)
}
