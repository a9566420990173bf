//! The terminal: a line is asked for, a line is answered. No screen is drawn, so that a screen reader, a slow line and a
//! script get the same.

use std::io::{self, BufRead, IsTerminal, Write};

use rustyline::config::Configurer;
use rustyline::error::ReadlineError;
use rustyline::history::MemHistory;
use rustyline::{Config, Editor};

use crate::commands::narrow;

/// Where lines come from.
enum Lines {
    /// A person at a terminal that can move its cursor.
    Edited(Box<Editor<(), MemHistory>>),
    /// Anything else: a pipe, a terminal that cannot.
    Plain,
}

/// The terminal.
pub(crate) struct Terminal {
    lines: Lines,
    /// Whether what is said goes to standard error, since standard output is for a program.
    aside: bool,
    bold: bool,
}

impl Terminal {
    pub(crate) fn open(json: bool) -> anyhow::Result<Self> {
        let is_dumb = std::env::var_os("TERM").is_none_or(|term| term == "dumb" || term.is_empty());
        let plain = std::env::var_os("NO_COLOR").is_some_and(|set| !set.is_empty());
        let shown = io::stdout().is_terminal() && !json;
        let lines = if shown && io::stdin().is_terminal() && !is_dumb {
            let mut editor = Editor::with_history(Config::default(), MemHistory::new())?;
            editor.set_auto_add_history(true);
            Lines::Edited(Box::new(editor))
        } else {
            Lines::Plain
        };
        Ok(Self { lines, aside: json, bold: shown && !is_dumb && !plain })
    }

    /// Says something, in lines that fit.
    pub(crate) fn say(&mut self, text: &str) -> io::Result<()> {
        self.write(&set(text, 2))
    }

    /// Says what matters most. Where it can be it is bold; the words say the same without.
    pub(crate) fn say_loud(&mut self, text: &str) -> io::Result<()> {
        let set = set(text, 3);
        if self.bold {
            self.write(&format!("\u{1b}[1m{}\u{1b}[0m\n", set.trim_end()))
        } else {
            self.write(&set)
        }
    }

    /// Says that something was not understood.
    pub(crate) fn complain(&mut self, text: &str) -> io::Result<()> {
        self.say(&format!("? {text}"))
    }

    fn write(&mut self, text: &str) -> io::Result<()> {
        let write = |mut out: Box<dyn Write>| out.write_all(text.as_bytes()).and_then(|()| out.flush());
        if self.aside { write(Box::new(io::stderr().lock())) } else { write(Box::new(io::stdout().lock())) }
    }

    /// Asks for a line. None when there are no more: the end of a file, or somebody who wants to leave.
    pub(crate) fn ask(&mut self, prompt: &str) -> anyhow::Result<Option<String>> {
        self.ask_about(prompt, "")
    }

    /// The same with a line to begin from, where it can be edited.
    pub(crate) fn ask_about(&mut self, prompt: &str, begin: &str) -> anyhow::Result<Option<String>> {
        let line = match &mut self.lines {
            Lines::Edited(editor) => match editor.readline_with_initial(prompt, (begin, "")) {
                Ok(line) => Some(line),
                Err(ReadlineError::Eof | ReadlineError::Interrupted) => None,
                Err(error) => return Err(error.into()),
            },
            Lines::Plain => {
                self.write(prompt)?;
                let mut line = String::new();
                let read = io::stdin().lock().read_line(&mut line)?;
                if !io::stdin().is_terminal() {
                    // What a script answers is seen nowhere else.
                    self.write("\n")?;
                }
                (read > 0).then_some(line)
            }
        };
        Ok(line.map(|line| line.trim().to_owned()))
    }

    /// Asks to choose one of these by its number or by the beginning of its name.
    pub(crate) fn choose(
        &mut self,
        what: &str,
        names: &[&str],
        proposed: Option<usize>,
        can_be_none: bool,
    ) -> anyhow::Result<Option<Chosen>> {
        self.say(&format!("{what}:"))?;
        for (number, name) in (1..).zip(names) {
            self.say(&format!(" {number} {name}"))?;
        }
        let none = if can_be_none { ", - none" } else { "" };
        let prompt = match proposed {
            Some(at) => format!("number{none} [{}]> ", at + 1),
            None if can_be_none => format!("number{none} [-]> "),
            None => "number> ".to_owned(),
        };
        loop {
            let Some(answer) = self.ask(&prompt)? else { return Ok(None) };
            if answer == "-" && can_be_none || (answer.is_empty() && proposed.is_none() && can_be_none) {
                return Ok(Some(Chosen::None));
            }
            if let Some(at) = proposed.filter(|_| answer.is_empty()) {
                return Ok(Some(Chosen::One(at)));
            }
            if let Some(at) = found(&answer, names) {
                return Ok(Some(Chosen::One(at)));
            }
            self.complain("Type a number of the list, or how one name begins.")?;
        }
    }
}

/// Lines that fit; what goes on does so under its beginning, or further in where it begins at the edge.
fn set(text: &str, hanging: usize) -> String {
    narrow::lines(text, if text.starts_with(' ') { 0 } else { hanging })
}

/// What was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Chosen {
    One(usize),
    None,
}

fn found(answer: &str, names: &[&str]) -> Option<usize> {
    if let Some(at) = answer.parse::<usize>().ok().and_then(|number| number.checked_sub(1)) {
        return (at < names.len()).then_some(at);
    }
    let answer = answer.to_lowercase();
    let begins = |name: &str| !answer.is_empty() && name.to_lowercase().starts_with(&answer);
    let mut fitting = (0..).zip(names).filter(|(_, name)| begins(name)).map(|(at, _)| at);
    fitting.next().filter(|_| fitting.next().is_none())
}

#[cfg(test)]
mod tests {
    use super::found;

    #[test]
    fn one_is_found_by_number_or_by_how_it_begins() {
        let names = ["North landing", "Nook", "South"];
        assert_eq!(found("2", &names), Some(1));
        assert_eq!(found("nor", &names), Some(0));
        for none in ["0", "4", "no", "", "x"] {
            assert_eq!(found(none, &names), None, "{none}");
        }
    }
}
