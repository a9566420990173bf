//! `skidway serve`: serves the API until told to stop.

use std::sync::Arc;

use kernel::{SystemClock, SystemEntropy};

use crate::config::Config;
use crate::events::http_sender::HttpSender;
use crate::http::app::Bound;
use crate::running::{Database, Delivering, Parts, token_seed, until_told_to_stop};
use crate::telemetry;

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    telemetry::start(&config.log_filter, config.log_format);
    let database = Database::open(config, &|line| tracing::info!("{line}"))?;
    for name in storage::migrate(database.url())? {
        tracing::info!(migration.name = name, "migrated");
    }
    let token_seed = token_seed(config, &SystemEntropy)?;
    let parts = Parts {
        url: database.url().to_owned(),
        connections: config.connections,
        token_seed,
        secrets_seed: config.secrets_key.unwrap_or(token_seed),
        sender: Arc::new(HttpSender::new(config.event_targets.clone())?),
        clock: Arc::new(SystemClock),
        entropy: Arc::new(SystemEntropy),
    };
    let service = parts.service()?;
    let bound = Bound::bind(config.listen, service.clone(), config.workers)?;
    let address = bound.address()?;
    actix_web::rt::System::new().block_on(async {
        let server = bound.run()?;
        let handle = server.handle();
        tracing::info!(server.address = %address, "serving; the API is described at http://{address}/docs/");
        actix_web::rt::spawn(async move {
            until_told_to_stop().await;
            tracing::info!("stopping: requests under way are finished, new ones are not taken");
            handle.stop(true).await;
        });
        let delivering = Delivering::start(service);
        let served = server.await;
        delivering.finish().await;
        served
    })?;
    database.close()?;
    tracing::info!("stopped");
    Ok(())
}
