//! `skid completions`: what a shell needs to complete command lines.

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};
use serde_json::json;

use crate::commands::ending::Ending;
use crate::commands::{Skid, output};

/// For which shell.
#[derive(Debug, Args)]
pub(crate) struct CompletionsOptions {
    /// The shell.
    shell: Shell,
}

/// Writes them to standard output.
pub(crate) fn run(options: &CompletionsOptions, json: bool) -> anyhow::Result<Ending> {
    let mut script = Vec::new();
    generate(options.shell, &mut Skid::command(), "skid", &mut script);
    let script = String::from_utf8(script)?;
    let shell = options.shell.to_string();
    output::either(json, || json!({"shell": shell, "script": script}), || script.clone())?;
    Ok(Ending::Done)
}
