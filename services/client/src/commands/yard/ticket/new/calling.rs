//! What a line at a stick's prompt asks for: a stick, or something to be done.

/// Something to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Call {
    Help,
    List,
    Undo,
    Change(usize, Option<String>),
    Drop(usize),
    /// So many more like the last.
    Repeat(usize),
    Working(usize),
    Remarks(Option<String>),
    Head,
    Post,
    Leave,
    /// A stick as it was typed.
    Stick(String),
    /// A letter with something behind it that does not go with it, and what would.
    Unclear(&'static str),
}

/// What the letters do, for whoever asks.
pub(crate) const HELP: &str = "\
A stick: species, readings, length
  pine 14 16     small end 14, 16 ft
  14/15 16'4     readings, feet'inches
  15             else as before
  hewn oak 12x10 24 | tie oak 9x7 8.5
  pole cedar 35 top 7
  pile spruce 16 high 4'2/4 sticks 4
Defects behind a comma
  , heart rot 8x9 for 2 from 14
  , seam 60deg for 8   , break cut 2
  , sap rot deep 2     , sweep out 3
  , crook out 3 for 6
  , heart rot core 9 for 4
  , butt rot 15% because \"soft\"
More: middle large butt, grade, marks,
  no, wane, ordered, refused \"why\"
Enter  another like the last
r 3    three more like the last
c 2    change stick 2   d 2  drop it
w 2    its working      u  undo
l      list             m  remarks
t      the ticket's head
p      post             q  leave, kept";

/// Reads a line. A single letter, alone or with a number, is something to be done; all else is a stick.
pub(crate) fn call(line: &str, sticks: usize) -> Call {
    let (first, rest) =
        line.split_once(char::is_whitespace).map_or((line, ""), |(one, rest)| (one, rest.trim()));
    let number = |otherwise: usize| if rest.is_empty() { Some(otherwise) } else { rest.parse().ok() };
    match first.to_lowercase().as_str() {
        "" => Call::Repeat(1),
        "h" | "?" => Call::Help,
        "l" => Call::List,
        "u" => Call::Undo,
        "t" => Call::Head,
        "p" => Call::Post,
        "q" => Call::Leave,
        "m" => Call::Remarks((!rest.is_empty()).then(|| rest.to_owned())),
        "r" => number(1).map_or(Call::Unclear("r 3: three more like the last"), Call::Repeat),
        "d" => number(sticks).map_or(Call::Unclear("d 2: drop stick 2"), Call::Drop),
        "w" => number(sticks).map_or(Call::Unclear("w 2: the working of stick 2"), Call::Working),
        "c" => {
            let (which, anew) = rest
                .split_once(char::is_whitespace)
                .map_or((rest, None), |(one, anew)| (one, Some(anew.trim())));
            let which = if which.is_empty() { Some(sticks) } else { which.parse().ok() };
            which.map_or(Call::Unclear("c 2: change stick 2"), |which| {
                Call::Change(which, anew.map(str::to_owned))
            })
        }
        _ => Call::Stick(line.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::narrow::{COLUMNS, width};

    #[test]
    fn a_letter_is_a_call_and_all_else_is_a_stick() {
        let cases = [
            ("", Call::Repeat(1)),
            ("H", Call::Help),
            ("r 3", Call::Repeat(3)),
            ("c", Call::Change(4, None)),
            ("c 2", Call::Change(2, None)),
            ("c 2 pine 14 16", Call::Change(2, Some("pine 14 16".to_owned()))),
            ("d 9", Call::Drop(9)),
            ("w", Call::Working(4)),
            ("m the seams are wet", Call::Remarks(Some("the seams are wet".to_owned()))),
            ("pine 14 16", Call::Stick("pine 14 16".to_owned())),
            ("15", Call::Stick("15".to_owned())),
        ];
        for (line, expected) in cases {
            assert_eq!(call(line, 4), expected, "{line}");
        }
        assert!(matches!(call("d two", 4), Call::Unclear(_)));
    }

    #[test]
    fn the_defects_of_the_help_are_understood() {
        let behind_commas = HELP.lines().filter_map(|line| line.strip_prefix("  , "));
        let examples: Vec<_> = behind_commas.flat_map(|line| line.split("  , ")).map(str::trim).collect();
        assert!(examples.len() > 7, "{examples:?}");
        for example in examples {
            let line = format!("pine 14 16, {example}");
            let read = client::typing::read(&line, &client::typing::Context::default());
            assert!(read.is_ok(), "{line}: {read:?}");
        }
    }

    #[test]
    fn the_help_fits() {
        assert!(HELP.lines().all(|line| width(line) <= COLUMNS), "{HELP}");
    }
}
