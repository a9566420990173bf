//! `skid verify`: seals and proofs held against each other, from files alone.

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;
use client::verify::{Given, RecordsRead, verify};
use seal::{PublicKey, Seal};
use serde::de::DeserializeOwned;

use crate::commands::ending::Ending;
use crate::commands::output;

/// What there is to verify.
#[derive(Debug, Args)]
pub(crate) struct VerifyOptions {
    /// The seal that everything is held against, as `skid seal save` writes it.
    #[arg(long, value_name = "FILE")]
    seal: PathBuf,
    /// The outfit's public key, as 64 hexadecimal digits, got on another way than the seal.
    #[arg(long, value_name = "DIGITS")]
    key: Option<PublicKey>,
    /// A seal that was kept from before.
    #[arg(long, value_name = "FILE")]
    kept: Option<PathBuf>,
    /// The proof that the kept seal is the beginning of the seal.
    #[arg(long, value_name = "FILE", requires = "kept")]
    consistency: Option<PathBuf>,
    /// The proof that a record is sealed, with the record. May be given several times.
    #[arg(long, value_name = "FILE")]
    record: Vec<PathBuf>,
    /// All the records of the seal, one document a line.
    #[arg(long, value_name = "FILE")]
    records: Option<PathBuf>,
}

/// Reads a file with one JSON document.
pub(crate) fn read<T: DeserializeOwned>(file: &Path, what: &str) -> anyhow::Result<T> {
    let name = file.display();
    let text = std::fs::read_to_string(file).with_context(|| format!("{name} cannot be read"))?;
    serde_json::from_str(&text).with_context(|| format!("{name} does not hold {what}"))
}

/// Verifies it, and prints what is shown and what is not.
pub(crate) fn run(options: &VerifyOptions, json: bool) -> anyhow::Result<Ending> {
    let kept: Option<Seal> = options.kept.as_deref().map(|file| read(file, "a seal")).transpose()?;
    let records = options.records.as_deref().map(|file| {
        let name = || format!("{} cannot be read", file.display());
        let lines = BufReader::new(File::open(file).with_context(name)?);
        RecordsRead::read(lines, kept.as_ref()).with_context(name)
    });
    let inclusions = options.record.iter().map(|file| {
        let name = file.file_name().unwrap_or(file.as_os_str()).to_string_lossy().into_owned();
        Ok((name, read(file, "the proof of a record")?))
    });
    let consistency = options.consistency.as_deref().map(|file| read(file, "a proof of consistency"));
    let given = Given {
        known_key: options.key,
        consistency: consistency.transpose()?,
        inclusions: inclusions.collect::<anyhow::Result<_>>()?,
        records: records.transpose()?,
        kept,
        ..Given::of(read(&options.seal, "a seal")?)
    };
    let report = verify(&given);
    output::paper(&report, json, client::text::verified)?;
    Ok(if report.holds() { Ending::Done } else { Ending::SomethingFound })
}
