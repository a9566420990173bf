//! Which service to call, and as whom.

use std::path::PathBuf;

use anyhow::Context;
use clap::Args;
use client::Client;

/// The environment variable that holds the token.
const TOKEN: &str = "SKID_TOKEN";

/// Which service to call, and as whom.
#[derive(Debug, Args)]
pub(crate) struct ServiceOptions {
    /// Where the service is.
    #[arg(long, global = true, env = "SKID_SERVICE", value_name = "URL")]
    #[arg(default_value = "http://127.0.0.1:7450")]
    service: String,
    /// A file that holds the access token; otherwise the environment variable SKID_TOKEN does.
    #[arg(long, global = true, value_name = "FILE")]
    token_file: Option<PathBuf>,
}

impl ServiceOptions {
    /// The client to call it with.
    pub(crate) fn client(&self) -> anyhow::Result<Client> {
        let token = match &self.token_file {
            Some(file) => Some(
                std::fs::read_to_string(file)
                    .with_context(|| format!("the token cannot be read from {}", file.display()))?,
            ),
            None => std::env::var(TOKEN).ok().filter(|token| !token.trim().is_empty()),
        };
        Ok(Client::new(&self.service, token)?)
    }
}
