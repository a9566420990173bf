//! `skid cruise`: estimates of standing timber, and what was cut beside them.

use std::path::PathBuf;

use audit::Confidence;
use clap::{Args, Subcommand, ValueEnum};
use client::{Client, CutOutQuery, EstimateQuery, text};
use jiff::civil::Date;
use kernel::{ContractId, CruiseId, Fixed};

use crate::commands::ending::Ending;
use crate::commands::{output, reading};

/// What to do with cruises.
#[derive(Debug, Subcommand)]
pub(crate) enum CruiseCommand {
    /// File a cruise, and say what stands there.
    File(FileOptions),
    /// Show what a cruise says of the tract.
    Show(ShowOptions),
    /// Hold what was cut against what a cruise expected.
    CutOut(CutOutOptions),
}

/// Which cruise.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// A file with the cruise as JSON: the job, the day, the cruiser, and what was measured.
    file: PathBuf,
}

/// Which cruise, and how sure.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The cruise.
    #[arg(value_name = "ID")]
    cruise: CruiseId,
    #[command(flatten)]
    how_sure: HowSure,
    /// An error that would be allowed, in percent: says how many plots it would take.
    #[arg(long, value_name = "PERCENT")]
    allow: Option<Fixed>,
}

/// Which cruise, and on whose scale.
#[derive(Debug, Args)]
pub(crate) struct CutOutOptions {
    /// The cruise.
    #[arg(value_name = "ID")]
    cruise: CruiseId,
    /// A contract of the same job: on its scale the cut stands.
    #[arg(long, value_name = "ID")]
    contract: ContractId,
    /// The last day whose tickets are counted.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
    #[command(flatten)]
    how_sure: HowSure,
}

/// How sure an interval is to be.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct HowSure {
    /// How often the interval is to hold the true figure.
    #[arg(long, value_enum)]
    confidence: Option<Percent>,
}

/// The same as words on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Percent {
    /// Nine times in ten.
    Ninety,
    /// Nineteen times in twenty.
    NinetyFive,
    /// Ninety-nine times in a hundred.
    NinetyNine,
}

impl HowSure {
    fn confidence(self) -> Option<Confidence> {
        self.confidence.map(|percent| match percent {
            Percent::Ninety => Confidence::Ninety,
            Percent::NinetyFive => Confidence::NinetyFive,
            Percent::NinetyNine => Confidence::NinetyNine,
        })
    }
}

/// Does it.
pub(crate) async fn run(command: &CruiseCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        CruiseCommand::File(options) => {
            let cruise = reading::json_file(&options.file, "a cruise")?;
            output::paper(&client.file_cruise(&cruise).await?, json, text::cruise)?;
        }
        CruiseCommand::Show(options) => {
            let query =
                EstimateQuery { confidence: options.how_sure.confidence(), allowed_percent: options.allow };
            output::paper(&client.show_cruise(options.cruise, &query).await?, json, text::cruise)?;
        }
        CruiseCommand::CutOut(options) => {
            let query = CutOutQuery {
                cruise_id: options.cruise,
                contract_id: options.contract,
                to: options.to,
                confidence: options.how_sure.confidence(),
            };
            output::paper(&client.audit_cut_out(&query).await?, json, text::cut_out)?;
        }
    }
    Ok(Ending::Done)
}
