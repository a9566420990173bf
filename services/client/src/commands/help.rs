//! The help of the program itself: its commands by who uses them.

use clap::{Command, Subcommand};

use super::auditing::AuditingCommand;
use super::everyone::EveryoneCommand;
use super::office::OfficeCommand;
use super::yard::YardCommand;

/// How wide help is at the most.
pub(super) const WIDEST: usize = 80;

/// The names and first sentences of the commands of one kind.
fn of<C: Subcommand>() -> Vec<(String, String)> {
    let commands = C::augment_subcommands(Command::new("commands"));
    let told = |command: &Command| {
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        let first = about.split_once(". ").map_or(about.as_str(), |(first, _)| first);
        let first = first
            .split_once(": ")
            .filter(|(before, _)| before.len() > 12)
            .map_or(first, |(before, _)| before);
        (command.get_name().to_owned(), first.trim_end_matches('.').to_owned())
    };
    commands.get_subcommands().map(told).collect()
}

/// The program with its commands in groups.
pub(super) fn grouped(command: Command) -> Command {
    let groups = [
        ("In the yard", of::<YardCommand>()),
        ("In the office", of::<OfficeCommand>()),
        ("To audit", of::<AuditingCommand>()),
        ("For everyone", of::<EveryoneCommand>()),
    ];
    let widest =
        groups.iter().flat_map(|(_, commands)| commands).map(|(name, _)| name.len()).max().unwrap_or(0);
    let mut listed = String::new();
    for (group, commands) in groups {
        listed.push_str(&format!("{group}:\n"));
        for (name, about) in commands {
            let indent = widest + 4;
            for (nth, line) in wrapped(&about, 58_usize.saturating_sub(indent)).iter().enumerate() {
                let name = if nth == 0 { name.as_str() } else { "" };
                listed.push_str(&format!("  {name:<widest$}  {line}\n"));
            }
        }
        listed.push('\n');
    }
    let template = format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{listed}Options:\n{{options}}{{after-help}}"
    );
    command.help_template(template).max_term_width(WIDEST)
}

fn wrapped(text: &str, widest: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        if !line.is_empty() && line.len() + 1 + word.len() > widest {
            lines.push(word.to_owned());
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}
