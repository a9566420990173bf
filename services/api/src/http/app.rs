//! The application: operations, middleware in their order, and the server around them.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};

use actix_web::dev::Server;
use actix_web::middleware::from_fn;
use actix_web::web::{self, Data};
use actix_web::{App, HttpServer};
use desk::{Desk, DeskParts};
use tracing_actix_web::TracingLogger;
use utoipa_swagger_ui::SwaggerUi;

use super::{books_as_of, busy, conditional, fallback, guard, heads, openapi};
use crate::routes;
use crate::service::Service;
use crate::telemetry::RequestSpan;

/// A server that is bound and can be run.
#[derive(Debug)]
pub struct Bound {
    listener: TcpListener,
    service: Service,
    workers: usize,
}

impl Bound {
    /// Binds the address; port 0 takes any that is free.
    ///
    /// # Errors
    ///
    /// When the address cannot be bound.
    pub fn bind(listen: SocketAddr, service: Service, workers: usize) -> std::io::Result<Self> {
        Ok(Self { listener: TcpListener::bind(listen)?, service, workers })
    }

    /// The address that was bound.
    ///
    /// # Errors
    ///
    /// When the system cannot tell.
    pub fn address(&self) -> std::io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// The desk, which asks this very service at the address that was bound.
    fn desk(&self) -> std::io::Result<Desk> {
        let service = &self.service;
        let parts = DeskParts {
            service: format!("http://{}", reachable(self.address()?)),
            pass: service.running.desk_pass.clone(),
            seed: service.desk_seed,
            clock: service.clock.clone(),
            entropy: service.entropy.clone(),
        };
        Desk::new(parts).map_err(std::io::Error::other)
    }

    /// Starts serving; the server runs while its future is awaited, and stops by its handle.
    ///
    /// # Errors
    ///
    /// When the socket cannot be listened on.
    pub fn run(self) -> std::io::Result<Server> {
        let desk = Data::new(self.desk()?);
        let service = Data::new(self.service);
        let server = HttpServer::new(move || {
            App::new()
                .app_data(service.clone())
                .configure(routes::serve)
                .service(documentation())
                .default_service(web::to(fallback::nothing_here))
                .app_data(desk.clone())
                .configure(desk::attach)
                // The last one is the outermost: every answer passes the log, every refusal becomes a document.
                .wrap(from_fn(guard::let_in))
                .wrap(from_fn(busy::admit))
                .wrap(from_fn(conditional::only_what_changed))
                .wrap(from_fn(books_as_of::mark))
                .wrap(from_fn(guard::document_problems))
                .wrap(from_fn(heads::as_gets))
                .wrap(from_fn(busy::time))
                .wrap(TracingLogger::<RequestSpan>::new())
        })
        .workers(self.workers)
        // Longer than most callers keep a quiet connection, so that they close it and not we, under their next request.
        .keep_alive(std::time::Duration::from_secs(90))
        .disable_signals()
        // As long as a statement may run: what is under way is finished. Idle connections are closed at once.
        .shutdown_timeout(60)
        .listen(self.listener)?
        .run();
        Ok(server)
    }
}

/// The API document and the page that shows it. Nobody outside is asked whether the document is good.
fn documentation() -> SwaggerUi {
    let page = utoipa_swagger_ui::Config::default().validator_url("none");
    SwaggerUi::new("/docs/{_:.*}").url("/openapi.json", openapi::document()).config(page)
}

/// Where a service that listens there can be reached from its own machine.
pub(crate) fn reachable(address: SocketAddr) -> SocketAddr {
    let host = match address.ip() {
        IpAddr::V4(any) if any.is_unspecified() => Ipv4Addr::LOCALHOST.into(),
        IpAddr::V6(any) if any.is_unspecified() => Ipv6Addr::LOCALHOST.into(),
        one => one,
    };
    SocketAddr::new(host, address.port())
}
