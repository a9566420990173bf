//! Stopping in order: first not ready any more, then no new connections, then the end of what is under way.

use std::time::Duration;

use actix_web::dev::ServerHandle;

use super::instance::Instance;

/// Waits for the terminal or the system to say stop.
pub async fn until_told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let (Ok(mut terminate), Ok(mut interrupt)) =
        (signal(SignalKind::terminate()), signal(SignalKind::interrupt()))
    else {
        // Without signals the service runs until it is killed; nothing is lost by that.
        return std::future::pending().await;
    };
    tokio::select! {
        _ = terminate.recv() => {}
        _ = interrupt.recv() => {}
    }
}

/// Stops a server in order. For as long as `drain` it goes on serving and says that it is not ready, so that whoever
/// divides the requests between instances learns of it before a request is turned away.
pub async fn stop_in_order(instance: &Instance, server: &ServerHandle, drain: Duration) {
    instance.begin_to_drain();
    tracing::info!(drain.seconds = drain.as_secs(), "stopping: not ready any more, still serving");
    tokio::time::sleep(drain).await;
    tracing::info!("stopping: requests under way are finished, new ones are not taken");
    server.stop(true).await;
}
