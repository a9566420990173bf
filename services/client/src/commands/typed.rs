//! What is typed and not shown: passwords and codes.

use std::io::{self, BufRead, IsTerminal, Write};
use std::process::{Command, Stdio};

use anyhow::Context;
use wire::Secret;

/// Keeps the terminal from showing what is typed, as long as the value lives.
struct Hidden;

impl Hidden {
    fn begin() -> io::Result<Self> {
        terminal("-echo")?;
        Ok(Self)
    }
}

impl Drop for Hidden {
    fn drop(&mut self) {
        // If it cannot be shown again, nothing more can be done from here.
        let _shown = terminal("echo");
    }
}

fn terminal(mode: &str) -> io::Result<()> {
    let status = Command::new("stty").arg(mode).stdin(Stdio::inherit()).status()?;
    if status.success() { Ok(()) } else { Err(io::Error::other("the terminal does not hide what is typed")) }
}

/// Asks for a secret on the terminal; from a file or another program, takes the next line.
pub(crate) fn secret(what: &str) -> anyhow::Result<Secret> {
    let stdin = io::stdin();
    let mut line = String::new();
    if stdin.is_terminal() {
        // Hidden before it is asked for: whoever types ahead of the prompt is not shown either.
        let hidden = Hidden::begin().with_context(|| format!("pipe the {what} in instead"))?;
        eprint!("{what}: ");
        io::stderr().flush()?;
        stdin.lock().read_line(&mut line)?;
        drop(hidden);
        eprintln!();
    } else {
        stdin.lock().read_line(&mut line)?;
    }
    let text = line.trim_end_matches(['\r', '\n']).to_owned();
    Secret::try_from(text).map_err(|error| anyhow::anyhow!("the {what}: {error}"))
}
