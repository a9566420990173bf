//! Asking for a yes on the terminal.

use std::io::{self, BufRead, IsTerminal};

use super::output;

/// What somebody answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    /// `yes`, in full.
    Yes,
    /// Anything else.
    No,
    /// There is no terminal, so nobody was asked.
    Nobody,
}

/// Asks on a terminal; where there is none, nobody has said yes.
pub(crate) fn for_a_yes(question: &str) -> io::Result<Answer> {
    if !io::stdin().is_terminal() || !io::stdout().is_terminal() {
        return Ok(Answer::Nobody);
    }
    output::text(&format!("\n{question} Type yes: "))?;
    let mut answer = String::new();
    io::stdin().lock().read_line(&mut answer)?;
    Ok(if answer.trim() == "yes" { Answer::Yes } else { Answer::No })
}
