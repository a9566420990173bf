//! `skid advance`: money handed over before it was earned.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::{AdvanceQuery, all_pages, text};
use jiff::civil::Date;
use settlement::{Amount, Percent, Recovery};
use wire::{AdvanceCreate, Remark};

use crate::commands::ending::Ending;
use crate::commands::naming::{self, parsed};
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};
use crate::commands::spans::SpanOptions;

/// What to do with advances.
#[derive(Debug, Subcommand)]
pub(crate) enum AdvanceCommand {
    /// File an advance that was handed over. It is recovered from later pay, all of it unless told otherwise.
    File(FileOptions),
    /// List advances, with what is left to recover.
    List(SpanOptions),
}

/// The advance.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// To whom; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: String,
    /// Its day.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    dated: Date,
    /// What it was for, in words.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Remark>)]
    says: Remark,
    /// How much, in the outfit's currency, such as 12.50.
    #[arg(long, value_parser = parsed::<Amount>)]
    amount: Amount,
    /// Recover at most this much from one week's pay.
    #[arg(long, value_name = "AMOUNT", value_parser = parsed::<Amount>, conflicts_with = "percent_of_pay")]
    most_a_week: Option<Amount>,
    /// Recover at most this part of a week's pay.
    #[arg(long, value_name = "PERCENT", value_parser = parsed::<Percent>)]
    percent_of_pay: Option<Percent>,
    #[command(flatten)]
    filing: FilingOptions,
}

impl FileOptions {
    const fn recovery(&self) -> Recovery {
        match (self.most_a_week, self.percent_of_pay) {
            (Some(amount), _) => Recovery::MostAWeek { amount },
            (None, Some(percent)) => Recovery::PartOfPay { percent },
            (None, None) => Recovery::Whole {},
        }
    }
}

/// Does it.
pub(crate) async fn run(command: &AdvanceCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        AdvanceCommand::File(options) => {
            let advance = AdvanceCreate {
                worker_id: naming::worker(client, &options.worker).await?,
                dated: options.dated,
                says: options.says.clone(),
                amount: options.amount,
                recovery: options.recovery(),
            };
            file(&Filing::advance(&advance)?, options.filing, caller, |advance| {
                text::advances(std::slice::from_ref(advance))
            })
            .await
        }
        AdvanceCommand::List(of) => {
            let worker_id = naming::worker_if_any(client, of.worker.as_deref()).await?;
            let found = all_pages(async |after| {
                let query = AdvanceQuery { worker_id, from: of.from, to: of.to, after, limit: Some(500) };
                client.list_advances(&query).await
            })
            .await?;
            output::list(&found, json, text::advances)?;
            Ok(Ending::Done)
        }
    }
}
