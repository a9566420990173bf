//! Many entries of hours from a sheet, each by itself.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::Path;

use anyhow::Context;
use client::filing::{Filed, Filing, How, key_of};
use client::{Client, ClientError};
use serde::Serialize;
use serde_json::{Value, json};
use wire::TimeEntryView;

use super::row::Row;
use crate::commands::ending::Ending;
use crate::commands::naming::Names;
use crate::commands::output;
use crate::commands::record::FilingOptions;

/// What became of one row.
enum Outcome {
    Filed(Filed<TimeEntryView>),
    /// It cannot be read, or names somebody unknown.
    Unreadable(String),
    Refused(ClientError),
    /// The service went away: this row may have arrived, and filing it again is harmless.
    Unreachable(ClientError),
}

/// Files every row, going on after a refusal and stopping when the service is gone.
pub(super) async fn run(
    file: &Path,
    options: FilingOptions,
    names: &Names,
    (client, json): (&Client, bool),
) -> anyhow::Result<Ending> {
    let shown = file.display();
    let text = contents(file).with_context(|| format!("{shown} cannot be read"))?;
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    reader.headers().with_context(|| format!("{shown} is no sheet"))?;
    let mut seen = BTreeMap::<Row, u32>::new();
    let mut sum = Sum { dry_run: options.dry_run, ..Sum::default() };
    // The row that names the columns is the first.
    for (number, read) in (2_u64..).zip(reader.deserialize::<Row>()) {
        let outcome = match read {
            Err(error) => Outcome::Unreadable(error.to_string()),
            Ok(row) => {
                let nth = seen.entry(row.clone()).or_default();
                *nth += 1;
                outcome(&row, *nth, options, names, client).await?
            }
        };
        sum.count(&outcome);
        output::either(
            json,
            || for_programs(number, &outcome),
            || for_people(number, &outcome, options.dry_run),
        )?;
        if matches!(outcome, Outcome::Unreachable(_)) {
            output::either(
                json,
                || json!(sum),
                || "File the same sheet again later: no row is filed twice.\n".to_owned(),
            )?;
            return Ok(Ending::Unreachable);
        }
    }
    output::either(json, || json!(sum), || sum.told())?;
    Ok(if sum.refused > 0 { Ending::Refused } else { Ending::Done })
}

/// What it came to.
#[derive(Debug, Default, Serialize)]
struct Sum {
    filed: u64,
    there_already: u64,
    refused: u64,
    dry_run: bool,
}

impl Sum {
    fn count(&mut self, outcome: &Outcome) {
        match outcome {
            Outcome::Filed(filed) if filed.replayed => self.there_already += 1,
            Outcome::Filed(_) => self.filed += 1,
            Outcome::Unreadable(_) | Outcome::Refused(_) => self.refused += 1,
            Outcome::Unreachable(_) => {}
        }
    }

    fn told(&self) -> String {
        let Self { filed, there_already, refused, dry_run } = self;
        let filed_as = if *dry_run { "would be filed" } else { "filed" };
        let more = if *dry_run { " Nothing was kept." } else { "" };
        format!("{filed} {filed_as}, {there_already} there already, {refused} refused.{more}\n")
    }
}

fn contents(file: &Path) -> std::io::Result<String> {
    if file.as_os_str() == "-" {
        let mut text = String::new();
        std::io::stdin().lock().read_to_string(&mut text)?;
        return Ok(text);
    }
    std::fs::read_to_string(file)
}

async fn outcome(
    row: &Row,
    nth: u32,
    options: FilingOptions,
    names: &Names,
    client: &Client,
) -> anyhow::Result<Outcome> {
    let entry = match row.entry(names) {
        Ok(entry) => entry,
        Err(error) => return Ok(Outcome::Unreadable(format!("{error:#}"))),
    };
    // What the row says is its key, so that a sheet that is sent again, mended or not, files no row twice.
    let sent = serde_json::to_string(&entry)?;
    let key = key_of(&["row of hours", &nth.to_string(), &sent]);
    let how = How { key: Some(key), rehearsal: options.dry_run };
    Ok(match client.file(&Filing::time(&entry)?, &how).await {
        Ok(filed) => Outcome::Filed(filed),
        Err(error) if Ending::from(&error) == Ending::Unreachable => Outcome::Unreachable(error),
        Err(error) => Outcome::Refused(error),
    })
}

fn for_people(number: u64, outcome: &Outcome, dry_run: bool) -> String {
    match outcome {
        Outcome::Filed(_) if dry_run => format!("row {number}: would be accepted\n"),
        Outcome::Filed(filed) => {
            let what = if filed.replayed { "was there already" } else { "filed" };
            format!("row {number}: {what}, {}\n", filed.record.time_entry_id)
        }
        Outcome::Unreadable(why) => format!("row {number}: refused, {why}\n"),
        Outcome::Refused(error) => format!("row {number}: refused, {}", output::told(error)),
        Outcome::Unreachable(error) => format!("row {number}: not filed, {}", output::told(error)),
    }
}

fn for_programs(number: u64, outcome: &Outcome) -> Value {
    match outcome {
        Outcome::Filed(filed) => json!({
            "row": number,
            "outcome": if filed.replayed { "there_already" } else { "accepted" },
            "time_entry_id": filed.record.time_entry_id,
        }),
        Outcome::Unreadable(why) => {
            let problem = json!({"code": "row-not-readable", "detail": why});
            json!({"row": number, "outcome": "refused", "problem": problem})
        }
        Outcome::Refused(error) => {
            json!({"row": number, "outcome": "refused", "problem": output::problem(error)})
        }
        Outcome::Unreachable(error) => {
            json!({"row": number, "outcome": "not_sent", "problem": output::problem(error)})
        }
    }
}
