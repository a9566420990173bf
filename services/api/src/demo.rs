//! The demonstration: an invented outfit whose whole job is done once, through the API, as its people would do it.

mod auditing;
mod checking;
mod office;
mod paying;
mod scenario;
mod sealing;
mod setting_up;
mod signing_in;
mod story;
mod yard;

use std::io::Write;
use std::net::SocketAddr;
use std::sync::Arc;

use anyhow::Context;
use client::Client;
use kernel::{Entropy, SystemClock, SystemEntropy};

use crate::config::Config;
use crate::events::http_sender::HttpSender;
use crate::http::app::Bound;
use crate::http::caller::Caller;
use crate::running::stopping::until_told_to_stop;
use crate::running::{Delivering, Parts};
use crate::service::Service;
use crate::telemetry;

/// Makes a database that vanishes afterwards, starts the service, does the job through it, and goes on serving
/// unless `exit` is asked for.
///
/// # Errors
///
/// When Postgres cannot be found or started, the address cannot be bound, or the job does not go through.
pub fn run(config: &Config, exit: bool) -> anyhow::Result<()> {
    // The story is told on standard output; only what goes wrong is worth a line of log beside it.
    telemetry::start("warn", config.log_format);
    println!("Skidway: one week of an invented outfit, from the scale ticket to the pay statement.\n");
    println!("Starting a private PostgreSQL that vanishes afterwards …");
    let database = localpg::throwaway_database(None)?;
    let url = database.url();
    let applied = storage::migrate(&url)?;
    println!("  {} migrations applied.", applied.len());
    let mut token_seed = [0; 32];
    SystemEntropy.fill(&mut token_seed);
    let parts = Parts {
        url,
        connections: config.connections,
        token_seed,
        retired_token_seeds: Vec::new(),
        external: None,
        clock: Arc::new(SystemClock),
        entropy: Arc::new(SystemEntropy),
        secrets_seed: token_seed,
        sender: Arc::new(HttpSender::new(config.event_targets.clone())?),
        limits: config.limits.clone(),
    };
    let service = parts.service()?;
    let bound = bind(config, &service)?;
    let address = bound.address()?;
    println!("  The service listens on http://{address}, on this machine only.\n");
    actix_web::rt::System::new().block_on(async {
        let server = bound.run()?;
        let handle = server.handle();
        let serving = actix_web::rt::spawn(server);
        let delivering = Delivering::start(service.clone());
        let told = tell(address, &service, exit).await;
        handle.stop(true).await;
        serving.await??;
        delivering.finish().await;
        told
    })
}

/// The configured address, or any free one when it is taken.
fn bind(config: &Config, service: &Service) -> anyhow::Result<Bound> {
    Bound::bind(config.listen, service.clone(), config.workers).or_else(|taken| {
        println!("  {} cannot be listened on ({taken}); taking a free port.", config.listen);
        let any = SocketAddr::new(config.listen.ip(), 0);
        Bound::bind(any, service.clone(), config.workers).context("no port is free")
    })
}

async fn tell(address: SocketAddr, service: &Service, exit: bool) -> anyhow::Result<()> {
    let operator = Caller::Operator { subject: "demonstration".to_owned() };
    let lifetime = jiff::SignedDuration::from_hours(1);
    let (token, _) = service.tokens.grant(&operator, lifetime).map_err(|error| anyhow::anyhow!("{error}"))?;
    let base = format!("http://{address}");
    let story::Told { outfit, people, accounts } =
        story::tell(&base, Client::new(&base, Some(token))?, service).await?;
    println!("The desk:          {}", signing_in::door(&base, outfit));
    println!("The API:           {base}/v1/");
    println!("Its documentation: {base}/docs/");
    println!("Its document:      {base}/openapi.json");
    if exit {
        return Ok(());
    }
    println!("\nTokens of the demonstration's people, good for eight hours:");
    for (role, token) in people {
        println!("  {role:<11} {token}");
    }
    println!("\nWho can sign in at the desk, with passwords made for this demonstration:");
    for account in accounts {
        println!("  {:<11} name {:<5} password {}", account.role.name(), account.name, account.password);
    }
    println!("\nStill serving; stop it with Ctrl-C. Nothing is kept afterwards.");
    until_told_to_stop().await;
    // Whoever read along may be gone by now.
    let _told = writeln!(std::io::stdout(), "Stopping.");
    Ok(())
}
