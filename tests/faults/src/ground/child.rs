//! This program started again as a service: the product's own code in a process of its own.
//!
//! It hangs on its standard input: when that ends, because whoever started it is gone, it ends too.

use std::io::BufRead;
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::Context;
use api::commands::{self, Program};
use api::config::Config;
use api::events::http_sender::HttpSender;
use api::http::app::Bound;
use api::running::stopping::{stop_in_order, until_told_to_stop};
use api::running::{Delivering, Parts, go_on_from_the_books, token_seed};
use clap::Parser;
use kernel::SystemEntropy;

use super::moved_clock::MovedClock;
use crate::work::new_migration;

/// The variable that says that, and as what, this program was started again.
pub const CHILD: &str = "SKIDWAY_FAULTS_CHILD";

/// What a service is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The program as it is.
    Plain,
    /// The program of a next version, which brings a migration of its own.
    Next,
    /// The program with a clock that can be moved.
    Moved,
}

impl Kind {
    /// The kind as the variable tells it.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Next => "next",
            Self::Moved => "moved",
        }
    }
}

/// Runs as a service where this process was started as one.
pub fn run_if_one() -> Option<ExitCode> {
    let kind = std::env::var(CHILD).ok()?;
    let clock = Arc::new(MovedClock::default());
    let moved = clock.clone();
    let serves = std::env::args().nth(1).is_some_and(|command| command == "serve");
    let watching = move || {
        for line in std::io::stdin().lock().lines().map_while(Result::ok) {
            if let Ok(seconds) = line.trim().parse() {
                moved.set_ahead(seconds);
            }
        }
        std::process::exit(0);
    };
    if serves {
        std::thread::spawn(watching);
    }
    Some(match run(&kind, clock) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    })
}

fn run(kind: &str, clock: Arc<MovedClock>) -> anyhow::Result<()> {
    if kind == Kind::Moved.text() {
        return serve_with(clock);
    }
    let program = Program::parse();
    if kind == Kind::Next.text() {
        let url = std::env::var("DATABASE_URL").context("DATABASE_URL is not set")?;
        storage::migrate(&url)?;
        new_migration::apply(&url)?;
    }
    commands::run(program)
}

/// As `skidway serve` does, with another clock.
fn serve_with(clock: Arc<MovedClock>) -> anyhow::Result<()> {
    let config = Config::read(|name| std::env::var(name).ok())?;
    api::telemetry::start(&config.log_filter, config.log_format);
    let url = config.database_url.clone().context("DATABASE_URL is not set")?;
    storage::migrate(&url)?;
    let token_seed = token_seed(&config, &SystemEntropy)?;
    let parts = Parts {
        url,
        connections: config.connections,
        token_seed,
        retired_token_seeds: Vec::new(),
        external: None,
        clock,
        entropy: Arc::new(SystemEntropy),
        secrets_seed: token_seed,
        sender: Arc::new(HttpSender::new(config.event_targets.clone())?),
        limits: config.limits.clone(),
    };
    let service = parts.service()?;
    let running = service.running.clone();
    let bound = Bound::bind(config.listen, service.clone(), config.workers)?;
    actix_web::rt::System::new().block_on(async {
        go_on_from_the_books(&service).await?;
        let server = bound.run()?;
        let handle = server.handle();
        let drain = config.drain;
        actix_web::rt::spawn(async move {
            until_told_to_stop().await;
            stop_in_order(&running, &handle, drain).await;
        });
        let delivering = Delivering::start(service);
        let served = server.await;
        delivering.finish().await;
        Ok(served?)
    })
}
