//! For tests: command lines that are understood, and ones that are not.

use clap::{Command, CommandFactory, Parser};

use super::everyone::man;
use super::{Skid, help};

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

/// Every command below one, each with its name in full.
fn all(command: &Command, name: &str) -> Vec<(String, Command)> {
    let mut found = vec![(name.to_owned(), command.clone())];
    for below in command.get_subcommands() {
        found.extend(all(below, &format!("{name} {}", below.get_name())));
    }
    found
}

fn every_command() -> Vec<(String, Command)> {
    let mut skid = help::grouped(Skid::command()).disable_help_subcommand(true);
    skid.build();
    all(&skid, "skid")
}

#[test]
fn every_command_writes_json_and_says_what_it_does() {
    let commands = every_command();
    assert!(commands.len() > 60, "{} commands", commands.len());
    for (name, command) in commands {
        let json = command.get_arguments().find(|argument| argument.get_id() == "json");
        assert!(json.is_some_and(|argument| argument.get_long() == Some("json")), "{name} has no --json");
        assert!(command.get_about().is_some(), "{name} does not say what it does");
        for argument in command.get_arguments() {
            assert!(argument.get_help().is_some(), "{name}: {} says nothing", argument.get_id());
        }
    }
}

#[test]
fn help_reads_well_at_60_columns() {
    let mut too_wide = Vec::new();
    for (name, command) in every_command() {
        let help = command.term_width(60).render_long_help().to_string();
        // A line of usage is one command line, which no line break may be put into.
        let prose = help.lines().filter(|line| !line.starts_with("Usage: skid "));
        too_wide.extend(prose.filter(|line| line.chars().count() > 60).map(|line| format!("{name}: {line}")));
    }
    assert!(too_wide.is_empty(), "{too_wide:#?}");
}

#[test]
fn the_help_of_the_program_has_every_command_once() {
    let mut skid = help::grouped(Skid::command());
    let help = skid.render_help().to_string();
    for command in skid.get_subcommands().filter(|command| command.get_name() != "help") {
        let begins = format!("  {} ", command.get_name());
        assert_eq!(help.lines().filter(|line| line.starts_with(&begins)).count(), 1, "{begins}\n{help}");
    }
}

#[test]
fn the_manual_has_every_command_and_no_fault() {
    let mut skid = Skid::command().disable_help_subcommand(true);
    skid.build();
    let page = man::whole(&skid).unwrap();
    for (name, _) in every_command().into_iter().skip(1) {
        assert!(page.contains(&format!(".SH \"{}\"", name.to_uppercase())), "{name}");
    }
    assert!(page.contains("Statuses it ends with"), "{page}");
    // Where there is a reader of manuals it finds nothing to complain about.
    let directory = std::env::temp_dir().join(format!("skid-man-{}", std::process::id()));
    std::fs::create_dir_all(&directory).unwrap();
    let file = directory.join("skid.1");
    std::fs::write(&file, &page).unwrap();
    for (reader, arguments) in
        [("mandoc", &["-T", "lint", "-W", "error"][..]), ("groff", &["-man", "-T", "utf8", "-ww", "-z"])]
    {
        if let Ok(read) = std::process::Command::new(reader).args(arguments).arg(&file).output() {
            let told =
                String::from_utf8_lossy(&read.stderr).into_owned() + &String::from_utf8_lossy(&read.stdout);
            assert!(read.status.success() && !told.contains("error"), "{reader}: {told}");
        }
    }
    std::fs::remove_dir_all(directory).unwrap();
}
