//! `skidway serve`: serves the API until told to stop.

use std::sync::Arc;

use kernel::{SystemClock, SystemEntropy};

use super::set_up;
use crate::config::Config;
use crate::http::app::Bound;
use crate::running::{Database, Parts, token_seed, until_told_to_stop};
use crate::telemetry;

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    telemetry::start(&config.log_filter, config.log_format);
    let database = Database::open(config, &|line| tracing::info!("{line}"))?;
    for name in storage::migrate(database.url())? {
        tracing::info!(migration.name = name, "migrated");
    }
    let parts = Parts {
        url: database.url().to_owned(),
        connections: config.connections,
        token_seed: token_seed(config, &SystemEntropy)?,
        retired_token_seeds: config.retired_token_seeds.clone(),
        external: config.external.clone(),
        clock: Arc::new(SystemClock),
        entropy: Arc::new(SystemEntropy),
    };
    let bound = Bound::bind(config.listen, parts.service()?, config.workers)?;
    let address = bound.address()?;
    actix_web::rt::System::new().block_on(async {
        if storage::has_no_outfit(database.url()).await.map_err(std::io::Error::other)? {
            tracing::info!("there are no books yet; stop the service and open them: {}", set_up::USAGE);
        }
        let server = bound.run()?;
        let handle = server.handle();
        tracing::info!(server.address = %address, "serving; the API is described at http://{address}/docs/");
        actix_web::rt::spawn(async move {
            until_told_to_stop().await;
            tracing::info!("stopping: requests under way are finished, new ones are not taken");
            handle.stop(true).await;
        });
        server.await
    })?;
    database.close()?;
    tracing::info!("stopped");
    Ok(())
}
