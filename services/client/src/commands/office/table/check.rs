//! `skid table check`: what is wrong with a table, before it is filed.

use std::path::PathBuf;

use anyhow::Context;
use clap::Args;
use client::Client;
use wire::{LogTableCheck, LogTableCreate};

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which table.
#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    /// A file with the table as JSON: its heading, and its cells as lists or as the text of comma-separated values.
    file: PathBuf,
}

/// Prints what was found.
pub(crate) async fn run(options: &CheckOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let file = options.file.display();
    let text = std::fs::read_to_string(&options.file).with_context(|| format!("{file} cannot be read"))?;
    let table: LogTableCreate = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .with_context(|| format!("{file} does not hold a table"))?;
    let found = client.check_log_table(&table).await?;
    output::paper(&found, json, told)?;
    Ok(if found.can_be_filed { Ending::Done } else { Ending::Refused })
}

/// One line for everything that was found, and what it comes to.
fn told(found: &LogTableCheck) -> String {
    let faults = found.faults.iter().map(|fault| format!("{}: {}\n", fault.code, fault.detail));
    let falls = found.falls.iter().map(|fall| format!("fall: {fall}\n"));
    let ending = match (found.can_be_filed, found.falls.is_empty()) {
        (true, true) => "The table can be filed.\n",
        (true, false) => "The table can be filed; the falls are acknowledged.\n",
        (false, true) => "The table cannot be filed before its faults are mended.\n",
        (false, false) => {
            "The table can be filed once its falls are mended, or with acknowledged_falls true.\n"
        }
    };
    faults.chain(falls).chain([ending.to_owned()]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_and_falls_stand_one_to_a_line() {
        let found: LogTableCheck = serde_json::from_str(
            r#"{"can_be_filed": false, "faults": [{"code": "missing-cell", "row": 1, "column": 2, "detail": "row 1"}],
                "falls": []}"#,
        )
        .unwrap();
        assert_eq!(
            told(&found),
            "missing-cell: row 1\nThe table cannot be filed before its faults are mended.\n"
        );
        let falling: LogTableCheck = serde_json::from_str(
            r#"{"can_be_filed": true, "faults": [],
                "falls": [{"diameter": "7", "length": "8", "volume": "5", "smaller_log": "10", "growth": "length"}]}"#,
        )
        .unwrap();
        assert!(told(&falling).starts_with("fall: at diameter 7 and length 8 the volume is 5, and 10"));
        assert!(told(&falling).ends_with("the falls are acknowledged.\n"));
    }
}
