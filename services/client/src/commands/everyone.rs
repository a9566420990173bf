//! What everybody does: signing in and out, setting up the shell, reading the manual.

mod completions;
pub(crate) mod man;
mod paper;
mod sign_in;

use clap::Subcommand;

use super::ending::Ending;
use super::service::ServiceOptions;

/// What everybody does.
#[derive(Debug, Subcommand)]
pub(crate) enum EveryoneCommand {
    /// Set your password, with the enrolment code that the manager handed over. Asks for both.
    Enrol(sign_in::EnrolOptions),
    /// Sign in, for the commands that follow. Asks for the password.
    SignIn(sign_in::SignInOptions),
    /// Sign out.
    SignOut,
    /// Write what a shell needs to complete command lines.
    ///
    /// For bash: skid completions bash > ~/.local/share/bash-completion/completions/skid
    Completions(completions::CompletionsOptions),
    /// Write the manual, as pages for man.
    ///
    /// To read it: skid man > skid.1 && man -l skid.1
    Man(man::ManOptions),
    /// Fetch what is handed over on paper: tickets, statements, crew sheets, the report.
    #[command(subcommand)]
    Paper(paper::PaperCommand),
}

/// Does it.
pub(crate) async fn run(
    command: &EveryoneCommand,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    // Whoever signs in has no token yet, or an old one.
    let client = service.nobody()?;
    match command {
        EveryoneCommand::Enrol(options) => sign_in::enrol(options, &client, json).await,
        EveryoneCommand::SignIn(options) => sign_in::sign_in(options, &client, json).await,
        EveryoneCommand::Completions(options) => completions::run(options, json),
        EveryoneCommand::Man(options) => man::run(options, json),
        EveryoneCommand::Paper(command) => paper::run(command, &service.client().await?, json).await,
        EveryoneCommand::SignOut => sign_in::sign_out(&client, json).await,
    }
}

#[cfg(test)]
mod tests {
    use crate::commands::understood::{ID, check};

    #[test]
    fn its_commands_are_understood() {
        check(
            &[
                &["enrol", "--outfit", ID, "--account", ID],
                &["sign-in", "--outfit", ID, "--name", "Ida"],
                &["completions", "bash"],
                &["completions", "fish", "--json"],
                &["man"],
                &["man", "--out", "pages", "--json"],
                &["--color", "never", "sign-out"],
                &["sign-out", "--service", "http://host"],
                &["--service", "http://host", "--token-file", "t", "week", "show", ID],
            ],
            &[
                &["completions"],
                &["--color", "red", "sign-out"],
                &["sign-in", "--outfit", ID, "--name", "ida", "--password", "p"],
                &["sign-in", "--outfit", ID, "--name", "ida holmquill"],
            ],
        );
    }
}
