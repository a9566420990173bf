//! Running Debian's package tools without questions.

use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;

use super::{is_present, line_for};
use crate::Error;

/// How much of a tool's output an error carries.
const LINES_SHOWN: usize = 15;

/// The package tools with options of ours.
#[derive(Debug, Default)]
pub(super) struct Apt {
    /// Put before everything else given to the tools of `apt`.
    pub(super) options: Vec<String>,
}

impl Apt {
    /// Runs one tool in `directory` and gives what it printed.
    pub(super) fn run(&self, directory: &Path, tool: &str, arguments: &[&str]) -> Result<String, Error> {
        let mut command = Command::new(tool);
        if tool.starts_with("apt") {
            command.args(&self.options);
        }
        command.args(arguments).current_dir(directory).stdin(Stdio::null());
        command.env("DEBIAN_FRONTEND", "noninteractive").env("LC_ALL", "C");
        let step = format!("`{tool} {}`", arguments.join(" "));
        let output = command
            .output()
            .map_err(|source| Error::Io { doing: format!("run {step}"), source: Arc::new(source) })?;
        if output.status.success() {
            return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
        }
        // The tools complain on either stream, and the reason comes last.
        let said =
            [String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr)].join("\n");
        Err(failed(step, &said))
    }
}

/// The error of a step that failed after saying `said`.
pub(super) fn failed(step: String, said: &str) -> Error {
    let lines: Vec<&str> = said.lines().filter(|line| !line.trim().is_empty()).collect();
    let output = lines.get(lines.len().saturating_sub(LINES_SHOWN)..).unwrap_or_default().join("\n");
    Error::Install { step, output, line: line_for(&is_present) }
}
