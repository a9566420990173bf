//! Filing one record from the command line, by way of the outbox, and telling what came of it.

use anyhow::Context;
use clap::Args;
use client::filing::{Filing, How};
use client::outbox::{Entry, Key, Outcome, Sending};
use client::{Client, text};
use kernel::{SystemClock, SystemEntropy};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::json;

use super::ending::Ending;
use super::filing::{self, Filer};
use super::output;
use super::service::ServiceOptions;

/// What can be said with every filing.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct FilingOptions {
    /// Go through all of it and keep nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
}

/// Who files, where, and how to tell of it.
#[derive(Clone, Copy)]
pub(crate) struct Caller<'a> {
    pub(crate) client: &'a Client,
    pub(crate) service: &'a ServiceOptions,
    pub(crate) json: bool,
}

/// Files something and tells of it: the record as JSON, or as a text.
///
/// It is on this machine's disk, with its key, before it is sent: when the answer is lost it is sent again, and filed
/// once. A rehearsal goes to the service only.
pub(crate) async fn file<T: Serialize + DeserializeOwned>(
    record: &Filing<T>,
    options: FilingOptions,
    caller: Caller<'_>,
    says: impl Fn(&T) -> String,
) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    if options.dry_run {
        let how = How { key: None, rehearsal: true };
        let record = client.file(record, &how).await?.record;
        let told = || json!({"record": record, "replayed": false, "dry_run": true});
        output::either(json, told, || format!("{}{}", text::rehearsed(), says(&record)))?;
        return Ok(Ending::Done);
    }
    kept_and_sent(record, caller, says).await
}

async fn kept_and_sent<T: Serialize + DeserializeOwned>(
    record: &Filing<T>,
    Caller { service, json, .. }: Caller<'_>,
    says: impl Fn(&T) -> String,
) -> anyhow::Result<Ending> {
    let filer = Filer::open(service)?;
    let kept = filer.outbox.keep(record.kept(Key::new(&SystemEntropy)), &filer.owner, &SystemClock)?;
    let number = kept.entry().number;
    let mut ours: Option<(Entry, bool)> = None;
    let sent = filer
        .send(&mut |entry, outcome| {
            if entry.number == number {
                ours = Some((entry.clone(), matches!(outcome, Outcome::Refused)));
            }
        })
        .await?;
    match ours {
        Some((Entry { answer: Some(answer), .. }, _)) => {
            let record: T = serde_json::from_value(answer.reply)
                .context("it was filed, and the answer is not one this program can read")?;
            let told = || json!({"record": record, "replayed": answer.replayed, "dry_run": false});
            output::either(json, told, || says(&record))?;
            others(sent.as_ref().ok(), 0);
            Ok(Ending::Done)
        }
        Some((Entry { refusal: Some(refusal), .. }, true)) => {
            // Whoever typed it sees why, and types it anew: it need not wait for a decision.
            let _dropped = filer.outbox.set_aside(number, "refused when it was filed", &SystemClock);
            let problem = || json!({"problem": refusal.problem});
            if json {
                output::json_line(&problem())?;
            } else {
                eprint!("{} {}", super::colour::blame(), output::problem_told(&refusal.problem));
            }
            others(sent.as_ref().ok(), 1);
            Ok(Ending::Refused)
        }
        _ => {
            let told = || json!({"entry": number, "outcome": "kept"});
            output::either(json, told, || filing::rest(&sent))?;
            Ok(sent.as_ref().map_or(Ending::Done, |sending| filing::ending(sending, false)))
        }
    }
}

/// Says on standard error what became of what had waited before.
fn others(sending: Option<&Sending>, ours: usize) {
    if let Some(sending) = sending.filter(|sending| sending.refused > ours) {
        eprintln!("skid: {} that waited before were refused: skid outbox", sending.refused - ours);
    }
}
