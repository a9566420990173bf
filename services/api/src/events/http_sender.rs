//! Sending over HTTP: to checked addresses only, never further, and never for long.

use std::error::Error;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use client::events::{ID_HEADER, SIGNATURE_HEADER, TIMESTAMP_HEADER};
use futures_util::FutureExt;
use futures_util::future::BoxFuture;
use reqwest::dns::{Addrs, Name, Resolve, Resolving};
use reqwest::header::{CONTENT_TYPE, RETRY_AFTER};

use super::allowed::AllowedTargets;
use super::sending::{Answer, Outgoing, Sender};
use super::target::{Target, TargetProblem};

/// How long to wait for a connection.
const CONNECTING: Duration = Duration::from_secs(5);
/// How long a delivery may take altogether (Standard Webhooks advises 15 to 30 seconds).
const ANSWERING: Duration = Duration::from_secs(15);
/// How long a name may take to be looked up when a subscription is filed.
const LOOKING_UP: Duration = Duration::from_secs(3);

/// Sends with reqwest: no redirects, no proxy of the environment, no address that is not public or allowed.
#[derive(Clone)]
pub struct HttpSender {
    http: reqwest::Client,
    allowed: Arc<AllowedTargets>,
}

impl std::fmt::Debug for HttpSender {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("HttpSender").field("allowed", &self.allowed).finish_non_exhaustive()
    }
}

impl HttpSender {
    /// A sender to public addresses and to what is allowed beside them.
    ///
    /// # Errors
    ///
    /// When the HTTP library cannot be set up.
    pub fn new(allowed: AllowedTargets) -> Result<Self, reqwest::Error> {
        let allowed = Arc::new(allowed);
        let builder = || {
            reqwest::Client::builder()
                .connect_timeout(CONNECTING)
                .timeout(ANSWERING)
                .user_agent(concat!("skidway/", env!("CARGO_PKG_VERSION")))
                .redirect(reqwest::redirect::Policy::none())
                .no_proxy()
                .dns_resolver(Arc::new(CheckedNames { allowed: allowed.clone() }))
        };
        let http = builder().build().or_else(|error| {
            tracing::warn!(%error, "no certificates of authorities on this machine: https targets cannot be reached");
            builder().tls_certs_only([]).build()
        })?;
        Ok(Self { http, allowed })
    }
}

impl Sender for HttpSender {
    fn check<'a>(&'a self, url: &'a str) -> BoxFuture<'a, Result<Target, TargetProblem>> {
        async move {
            let target = self.target(url)?;
            let Some(name) = target.name().map(str::to_owned) else { return Ok(target) };
            // A name that leads nowhere today may lead somewhere tomorrow; it is looked up with every connection.
            let looking = tokio::net::lookup_host((name.as_str(), 443));
            let Ok(Ok(found)) = tokio::time::timeout(LOOKING_UP, looking).await else { return Ok(target) };
            let mut found = found.map(|address| address.ip());
            match found.find(|address| !self.allowed.names(&name) && !self.allowed.lets_through(*address)) {
                Some(private) => Err(TargetProblem::Private(private)),
                None => Ok(target),
            }
        }
        .boxed()
    }

    fn send<'a>(&'a self, outgoing: &'a Outgoing) -> BoxFuture<'a, Answer> {
        let request = self
            .http
            .post(outgoing.target.url().clone())
            .header(CONTENT_TYPE, "application/json")
            .header(ID_HEADER, &outgoing.id)
            .header(TIMESTAMP_HEADER, outgoing.timestamp)
            .header(SIGNATURE_HEADER, &outgoing.signature)
            .body(outgoing.body.clone());
        async move {
            match request.send().await {
                // What the answer says beside its status is not read.
                Ok(response) => {
                    let wait = response.headers().get(RETRY_AFTER).and_then(|value| value.to_str().ok());
                    let retry_after = wait.and_then(|text| text.parse().ok()).map(Duration::from_secs);
                    Answer::Status { status: response.status().as_u16(), retry_after }
                }
                Err(error) => unanswered(&error),
            }
        }
        .boxed()
    }

    fn target(&self, url: &str) -> Result<Target, TargetProblem> {
        Target::read(url, &self.allowed)
    }
}

fn unanswered(error: &reqwest::Error) -> Answer {
    let mut cause = error.source();
    while let Some(one) = cause {
        if one.is::<PrivateAddresses>() {
            return Answer::TargetRefused;
        }
        cause = one.source();
    }
    if error.is_connect() { Answer::NotReached } else { Answer::NoAnswer }
}

/// That a name leads to private addresses only.
#[derive(Debug, thiserror::Error)]
#[error("the name leads to no address on the public internet")]
struct PrivateAddresses;

/// Looks names up and keeps the addresses that events may go to.
struct CheckedNames {
    allowed: Arc<AllowedTargets>,
}

impl Resolve for CheckedNames {
    fn resolve(&self, name: Name) -> Resolving {
        let allowed = self.allowed.clone();
        async move {
            let found: Vec<SocketAddr> = tokio::net::lookup_host((name.as_str(), 0)).await?.collect();
            let trusted = allowed.names(name.as_str());
            let good: Vec<SocketAddr> = found
                .iter()
                .filter(|address| trusted || allowed.lets_through(address.ip()))
                .copied()
                .collect();
            if good.is_empty() && !found.is_empty() {
                return Err(PrivateAddresses.into());
            }
            let good: Addrs = Box::new(good.into_iter());
            Ok(good)
        }
        .boxed()
    }
}
