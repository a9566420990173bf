//! What the program `skid` can be told to do, one command to a file, in folders by who does it.

mod asking;
mod auditing;
mod colour;
mod ending;
mod everyone;
mod filing;
mod help;
mod kept;
mod lines;
mod naming;
mod narrow;
mod office;
mod output;
mod reading;
mod record;
mod service;
mod spans;
mod typed;
mod weeks;
mod yard;

#[cfg(test)]
mod understood;

use std::process::ExitCode;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};
use ending::Ending;

const STATUSES: &str = "\
Statuses it ends with:
  0  done
  1  wrong usage, or a fault on this machine
  2  some lines could not be scaled
  3  refused by the service
  4  the service was not reachable; what is filed is kept and sent later, so
     `skid ticket new` and `skid ticket post` end with 0 then, or with 4 and
     --now, and `skid outbox send` with 4
  5  it was looked into, and something is not as it should be: exceptions were
     found, a week computed again differs, a proof does not hold
  6  stopped before its end; the same command again goes on

The access token comes from the file named with --token-file, or from the
environment variable SKID_TOKEN, or from `skid sign-in`, in this order. Neither
it nor a password is ever taken from the command line, where others on the
machine could read it.";

/// Scales sticks, posts scale tickets, settles weeks, prints statements, and holds volume against pay.
///
/// It computes from what was measured and agreed. It is no legal advice: local law and licensed professionals decide
/// what must be paid and who may scale.
#[derive(Debug, Parser)]
#[command(name = "skid", version, after_long_help = STATUSES, after_help = "More with --help.")]
struct Skid {
    #[command(flatten)]
    everywhere: Everywhere,
    #[command(subcommand)]
    command: Command,
}

/// What can be said with every command.
#[derive(Debug, Args)]
struct Everywhere {
    #[command(flatten)]
    service: service::ServiceOptions,
    /// Write JSON for other programs, one object a line.
    #[arg(long, global = true, help_heading = "With every command")]
    json: bool,
    /// When to colour: auto (on a terminal, unless NO_COLOR is set), always, never.
    #[arg(
        long,
        global = true,
        help_heading = "With every command",
        value_name = "WHEN",
        default_value = "auto",
        hide_possible_values = true
    )]
    color: colour::Colour,
}

/// Who does it; to the command line they are one list.
#[derive(Debug, Subcommand)]
enum Command {
    #[command(flatten)]
    Yard(yard::YardCommand),
    #[command(flatten)]
    Office(office::OfficeCommand),
    #[command(flatten)]
    Auditing(auditing::AuditingCommand),
    #[command(flatten)]
    Everyone(everyone::EveryoneCommand),
}

/// Does what the command line says; answers the status to end with.
pub fn run() -> ExitCode {
    let parsed = help::grouped(Skid::command()).try_get_matches();
    let skid = match parsed.and_then(|matches| Skid::from_arg_matches(&matches)) {
        Ok(skid) => skid,
        Err(told) => {
            // Help and version come this way too, and are no faults. If they cannot be printed, nothing can.
            let _ = told.print();
            let ending = if told.use_stderr() { Ending::Fault } else { Ending::Done };
            return ending.status();
        }
    };
    let json = skid.everywhere.json;
    skid.everywhere.color.choose();
    skid.execute().unwrap_or_else(|error| output::report(&error, json)).status()
}

impl Skid {
    fn execute(self) -> anyhow::Result<Ending> {
        let Everywhere { service, json, .. } = &self.everywhere;
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        runtime.block_on(async {
            match &self.command {
                Command::Yard(command) => yard::run(command, service, *json).await,
                Command::Office(command) => office::run(command, service, *json).await,
                Command::Auditing(command) => auditing::run(command, service, *json).await,
                Command::Everyone(command) => everyone::run(command, service, *json).await,
            }
        })
    }
}
