//! The page of metrics: a listener of its own, for whoever runs the service and nobody else.

use std::net::{SocketAddr, TcpListener};

use actix_web::dev::Server;
use actix_web::web::{self, Data};
use actix_web::{App, HttpResponse, HttpServer};

use super::reading::view;
use crate::service::Service;

/// The media type that a scrape expects; without it, it fails.
pub const MEDIA_TYPE: &str = "text/plain; version=0.0.4; charset=utf-8";

/// A page of metrics that is bound and can be run.
#[derive(Debug)]
pub struct MetricsPage {
    listener: TcpListener,
    service: Service,
}

impl MetricsPage {
    /// Binds the address; port 0 takes any that is free.
    ///
    /// # Errors
    ///
    /// When the address cannot be bound.
    pub fn bind(listen: SocketAddr, service: Service) -> std::io::Result<Self> {
        Ok(Self { listener: TcpListener::bind(listen)?, service })
    }

    /// The address that was bound.
    ///
    /// # Errors
    ///
    /// When the system cannot tell.
    pub fn address(&self) -> std::io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// Starts serving; the page is there while the future is awaited or spawned.
    ///
    /// # Errors
    ///
    /// When the socket cannot be listened on.
    pub fn run(self) -> std::io::Result<Server> {
        let service = Data::new(self.service);
        let server = HttpServer::new(move || {
            App::new().app_data(service.clone()).route("/metrics", web::get().to(page))
        })
        .workers(1)
        .disable_signals()
        .listen(self.listener)?
        .run();
        Ok(server)
    }
}

async fn page(service: Data<Service>) -> HttpResponse {
    let running = &service.running;
    // Where something is not known the figures stay as they were: a scrape must work also when the database does not.
    match &running.reading {
        Some(reading) => match reading.state(&service.store).await {
            Ok(state) => running.metrics.replica_stands(&view(&state, service.clock.now())),
            Err(error) => tracing::warn!(error = %error, "it is not known how old the books are"),
        },
        // Events are told by whoever keeps the books.
        None => match service.store.delivery_lag().await {
            Ok(lag) => running.metrics.outbox_stands_at(&lag, service.clock.now()),
            Err(error) => tracing::warn!(error = %error, "it is not known how far behind the events are"),
        },
    }
    match running.metrics.text(&service.store, running.admission.requests()) {
        Ok(text) => HttpResponse::Ok().content_type(MEDIA_TYPE).body(text),
        Err(error) => {
            tracing::error!(causes = %error, "the metrics cannot be written");
            HttpResponse::InternalServerError().finish()
        }
    }
}
