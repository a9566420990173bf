//! Which service to call, and as whom.

use std::path::PathBuf;

use anyhow::Context;
use clap::Args;
use client::outbox::Owner;
use client::{Client, ClientError};
use jiff::SignedDuration;
use kernel::{Clock, SystemClock};
use wire::{Code, RefreshTokenSent};

use super::kept::KeptFile;

/// The environment variable that holds the token.
const TOKEN: &str = "SKID_TOKEN";

/// Which service to call, and as whom.
#[derive(Debug, Args)]
pub(crate) struct ServiceOptions {
    /// Where the service is.
    #[arg(
        long,
        global = true,
        help_heading = "With every command",
        env = "SKID_SERVICE",
        value_name = "URL"
    )]
    #[arg(default_value = "http://127.0.0.1:7450")]
    service: String,
    /// A file that holds the access token; otherwise the environment variable SKID_TOKEN does, or `skid sign-in` did.
    #[arg(long, global = true, help_heading = "With every command", value_name = "FILE")]
    token_file: Option<PathBuf>,
}

/// How long before its end an access token is exchanged for the next.
const IN_TIME: SignedDuration = SignedDuration::from_mins(1);

impl ServiceOptions {
    /// The client to call it with: by a token that was given, otherwise as whoever signed in.
    pub(crate) async fn client(&self) -> anyhow::Result<Client> {
        let token = match self.given()? {
            Some(token) => Some(token),
            None => self.signed_in().await?,
        };
        Ok(Client::new(&self.service, token)?)
    }

    /// The token that was given in a file or in the environment.
    fn given(&self) -> anyhow::Result<Option<String>> {
        let Some(file) = &self.token_file else {
            return Ok(std::env::var(TOKEN).ok().filter(|token| !token.trim().is_empty()));
        };
        let read = std::fs::read_to_string(file);
        read.map(Some).with_context(|| format!("the token cannot be read from {}", file.display()))
    }

    /// Whose books, and as whom, without asking anybody: a sign-in that is over still says who it was.
    pub(crate) fn owner(&self) -> anyhow::Result<Owner> {
        let client = self.nobody()?;
        let token = match self.given()? {
            Some(token) => Some(token),
            None => {
                let kept = KeptFile::of_user().ok().map(|file| file.find(client.service())).transpose()?;
                kept.flatten().map(|kept| kept.access_token.reveal().to_owned())
            }
        };
        Ok(Owner::of(client.service(), token.as_deref()))
    }

    /// The client to call it with as nobody.
    pub(crate) fn nobody(&self) -> anyhow::Result<Client> {
        Ok(Client::new(&self.service, None)?)
    }

    /// The access token of whoever signed in, a new one when the old one is about to end.
    async fn signed_in(&self) -> anyhow::Result<Option<String>> {
        // Without a place to keep a sign-in there is none.
        let Ok(file) = KeptFile::of_user() else { return Ok(None) };
        let client = self.nobody()?;
        let Some(kept) = file.find(client.service())? else { return Ok(None) };
        if kept.expires_at.duration_since(SystemClock.now()) > IN_TIME {
            return Ok(Some(kept.access_token.reveal().to_owned()));
        }
        let sent = RefreshTokenSent { refresh_token: kept.refresh_token };
        let signed_in = match client.refresh_sign_in(&sent).await {
            Ok(signed_in) => signed_in,
            Err(error) => {
                if matches!(&error, ClientError::Refused(problem) if problem.code == Code::RefreshRefused) {
                    file.forget(client.service())?;
                }
                return Err(error.into());
            }
        };
        file.keep(client.service(), (&signed_in).into())?;
        Ok(Some(signed_in.access_token.reveal().to_owned()))
    }
}
