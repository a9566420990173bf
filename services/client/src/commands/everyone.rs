//! What everybody does: signing in and out.

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
                &["sign-out", "--service", "http://host"],
                &["--service", "http://host", "--token-file", "t", "week", "show", ID],
            ],
            &[
                &["sign-in", "--outfit", ID, "--name", "ida", "--password", "p"],
                &["sign-in", "--outfit", ID, "--name", "ida holmquill"],
            ],
        );
    }
}
