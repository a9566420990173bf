//! `skidway ready`: asks the service on this machine whether it is ready, for whoever watches over a container that has
//! nothing else to ask with.

use std::time::Duration;

use anyhow::Context;
use client::Client;

use crate::config::Config;
use crate::http::app::reachable;

/// How long the answer may take: a service that is busy is asked again later, and one that hangs is not ready.
const ANSWERING: Duration = Duration::from_secs(4);

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    let client = Client::new(&format!("http://{}", reachable(config.listen)), None)?;
    let asked = async { tokio::time::timeout(ANSWERING, client.ready()).await };
    let ready = actix_web::rt::System::new().block_on(asked).context("no answer in time")??;
    match ready.replica {
        None => println!("ready"),
        Some(replica) => println!("ready; only reads; as of {}", replica.as_of),
    }
    Ok(())
}
