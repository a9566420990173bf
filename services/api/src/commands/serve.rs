//! `skidway serve`: serves the API until told to stop.

use std::sync::Arc;

use kernel::{SystemClock, SystemEntropy};

use super::set_up;
use crate::config::Config;
use crate::events::http_sender::HttpSender;
use crate::http::app::Bound;
use crate::running::metrics_page::MetricsPage;
use crate::running::stopping::{stop_in_order, until_told_to_stop};
use crate::running::{Database, Delivering, Parts, go_on_from_the_books, token_seed};
use crate::telemetry;

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    telemetry::start(&config.log_filter, config.log_format);
    let database = Database::open(config, &|line| tracing::info!("{line}"))?;
    if config.reader.is_none() {
        for name in storage::migrate(database.url())? {
            tracing::info!(migration.name = name, "migrated");
        }
    }
    let token_seed = token_seed(config, &SystemEntropy)?;
    let parts = Parts {
        url: database.url().to_owned(),
        connections: config.connections,
        token_seed,
        secrets_seed: config.secrets_key.unwrap_or(token_seed),
        sender: Arc::new(HttpSender::new(config.event_targets.clone())?),
        retired_token_seeds: config.retired_token_seeds.clone(),
        external: config.external.clone(),
        clock: Arc::new(SystemClock),
        entropy: Arc::new(SystemEntropy),
        limits: config.limits.clone(),
    };
    let service = match &config.reader {
        None => parts.service()?,
        Some(reader) => parts.reader(reader.keeper.clone())?,
    };
    let running = service.running.clone();
    let metrics =
        config.metrics_listen.map(|listen| MetricsPage::bind(listen, service.clone())).transpose()?;
    let bound = Bound::bind(config.listen, service.clone(), config.workers)?;
    let address = bound.address()?;
    let drain = config.drain;
    actix_web::rt::System::new().block_on(async {
        // One that only reads starts also while its replica does, and says until then that it is not ready.
        let keeps = config.reader.is_none();
        if keeps && storage::has_no_outfit(database.url()).await.map_err(std::io::Error::other)? {
            tracing::info!("there are no books yet; stop the service and open them: {}", set_up::USAGE);
        }
        go_on_from_the_books(&service).await.map_err(std::io::Error::other)?;
        let server = bound.run()?;
        let handle = server.handle();
        tracing::info!(server.address = %address, "serving; the desk is at http://{address}/desk, the API is described at http://{address}/docs/");
        if let Some(page) = metrics {
            tracing::info!(metrics.address = %page.address()?, "metrics are served");
            actix_web::rt::spawn(page.run()?);
        }
        actix_web::rt::spawn(async move {
            until_told_to_stop().await;
            stop_in_order(&running, &handle, drain).await;
        });
        // Events are told by whoever keeps the books: telling them is written down.
        let delivering = service.running.reading.is_none().then(|| Delivering::start(service));
        let served = server.await;
        if let Some(delivering) = delivering {
            delivering.finish().await;
        }
        served
    })?;
    database.close()?;
    tracing::info!("stopped");
    Ok(())
}
