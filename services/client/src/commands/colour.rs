//! Colour: on a terminal only, and never the only sign of anything.

use std::io::IsTerminal;
use std::sync::OnceLock;

use clap::ValueEnum;

/// Whether to colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal, unless the environment variable NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

static CHOSEN: OnceLock<Colour> = OnceLock::new();

impl Colour {
    /// Holds for the rest of the run.
    pub(crate) fn choose(self) {
        let _first = CHOSEN.set(self);
    }

    /// Whether a stream is coloured, which is a terminal or is none.
    fn on(self, terminal: bool, no_colour: bool) -> bool {
        match self {
            Self::Auto => terminal && !no_colour,
            Self::Always => true,
            Self::Never => false,
        }
    }
}

fn on(stream: &impl IsTerminal) -> bool {
    // As https://no-color.org has it: set, and not empty.
    let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    CHOSEN.get().copied().unwrap_or_default().on(stream.is_terminal(), no_colour)
}

/// A paper for standard output, the title on its first line in bold.
pub(crate) fn paper(text: String) -> String {
    if !on(&std::io::stdout()) {
        return text;
    }
    match text.split_once('\n') {
        Some((title, rest))
            if title.chars().any(char::is_uppercase) && !title.chars().any(char::is_lowercase) =>
        {
            format!("\u{1b}[1m{title}\u{1b}[0m\n{rest}")
        }
        _ => text,
    }
}

/// The program's name before what it tells on standard error, in red.
pub(crate) fn blame() -> &'static str {
    if on(&std::io::stderr()) { "\u{1b}[31mskid:\u{1b}[0m" } else { "skid:" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_terminal_is_coloured_unless_somebody_says_no() {
        assert!(Colour::Auto.on(true, false));
        assert!(!Colour::Auto.on(true, true));
        assert!(!Colour::Auto.on(false, false));
        assert!(Colour::Always.on(false, true));
        assert!(!Colour::Never.on(true, false));
    }
}
