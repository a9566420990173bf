//! For tests: command lines that are understood, and ones that are not.

use clap::{CommandFactory, Parser};

use super::Skid;

/// An id as it may stand on a command line.
pub(crate) const ID: &str = "0197a000-0000-7000-8000-000000000001";

/// Checks that command lines, without the program's name, are understood or not.
pub(crate) fn check(understood: &[&[&str]], not_understood: &[&[&str]]) {
    for words in understood {
        let line = ["skid"].iter().chain(*words);
        assert!(Skid::try_parse_from(line).is_ok(), "{words:?}");
    }
    for words in not_understood {
        let line = ["skid"].iter().chain(*words);
        assert!(Skid::try_parse_from(line).is_err(), "{words:?}");
    }
}

#[test]
fn the_command_line_is_sound() {
    Skid::command().debug_assert();
}
