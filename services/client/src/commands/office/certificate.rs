//! `skid certificate`: what scalers have to show.

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::{CertificateQuery, all_pages, text};
use jiff::civil::Date;
use wire::{Name, ScalerCertificateCreate};

use crate::commands::ending::Ending;
use crate::commands::naming::parsed;
use crate::commands::output;
use crate::commands::record::{Caller, FilingOptions, file};

/// What to do with certificates.
#[derive(Debug, Subcommand)]
pub(crate) enum CertificateCommand {
    /// File a scaler's certificate. Who may scale for pay is for local law to say.
    File(FileOptions),
    /// List certificates.
    List(ListOptions),
}

/// The certificate.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// Whose: the name as it stands on tickets.
    #[arg(long, value_name = "NAME", value_parser = parsed::<Name>)]
    scaler: Name,
    /// Its number or name.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Name>)]
    certificate: Name,
    /// Who issued it.
    #[arg(long, value_name = "TEXT", value_parser = parsed::<Name>)]
    issued_by: Name,
    /// The first day it holds.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    valid_from: Date,
    /// The last day it holds.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parsed::<Date>)]
    valid_to: Date,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Which certificates.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// Of this scaler: the name as it stands on tickets.
    #[arg(long, value_name = "NAME")]
    scaler: Option<String>,
    /// That hold on this day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    on: Option<Date>,
}

/// Does it.
pub(crate) async fn run(command: &CertificateCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        CertificateCommand::File(options) => {
            let certificate = ScalerCertificateCreate {
                scaler: options.scaler.clone(),
                certificate: options.certificate.clone(),
                issued_by: options.issued_by.clone(),
                valid_from: options.valid_from,
                valid_to: options.valid_to,
            };
            file(&Filing::certificate(&certificate)?, options.filing, caller, |one| {
                text::certificates(std::slice::from_ref(one))
            })
            .await
        }
        CertificateCommand::List(options) => {
            let found = all_pages(async |after| {
                let query = CertificateQuery {
                    scaler: options.scaler.clone(),
                    on: options.on,
                    after,
                    limit: Some(500),
                };
                client.list_scaler_certificates(&query).await
            })
            .await?;
            output::list(&found, json, text::certificates)?;
            Ok(Ending::Done)
        }
    }
}
