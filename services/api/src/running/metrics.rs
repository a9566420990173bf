//! Metrics: what whoever runs the service counts and times. No label names a worker, a ticket or an outfit.
//!
//! Each service has a registry of its own, so that several in one process (as in tests) do not mix their figures.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use jiff::Timestamp;
use prometheus::core::Collector;
use prometheus::{
    HistogramOpts, HistogramVec, IntCounter, IntCounterVec, IntGauge, IntGaugeVec, Opts, Registry,
    TextEncoder,
};
use storage::{DeliveryLag, Store};
use wire::ReplicaView;

/// Upper bounds in seconds, as the semantic conventions of OpenTelemetry for HTTP advise.
const BUCKETS: [f64; 14] = [0.005, 0.01, 0.025, 0.05, 0.075, 0.1, 0.25, 0.5, 0.75, 1.0, 2.5, 5.0, 7.5, 10.0];

/// The figures of one service.
#[derive(Clone, Debug)]
pub struct Metrics {
    registry: Registry,
    requests: HistogramVec,
    active: IntGauge,
    pool: IntGaugeVec,
    waiting: IntGauge,
    tickets: IntCounterVec,
    pieces: IntCounter,
    accruals: IntCounter,
    shed: IntCounterVec,
    sign_in_failures: IntCounter,
    outbox_waiting: IntGauge,
    outbox_lag: IntGauge,
    outbox_dead: IntGauge,
    /// Only where the instance only reads: elsewhere there is nothing to be behind.
    replica: Arc<OnceLock<ReplicaFigures>>,
    /// Held while figures are taken over, so that two who look at once do not take them over twice.
    looking: Arc<Mutex<()>>,
}

/// How far the books of an instance that only reads are behind.
#[derive(Clone, Debug)]
struct ReplicaFigures {
    lag: IntGauge,
    bytes: IntGauge,
    caught_up: IntGauge,
}

/// What came of a ticket that was posted and not kept anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotKept {
    /// It was there already.
    Replayed,
    /// It was refused.
    Refused,
}

impl Metrics {
    /// All figures at nothing.
    ///
    /// # Errors
    ///
    /// When two figures have one name, which is a fault of ours.
    pub fn new() -> prometheus::Result<Self> {
        let made = Maker(Registry::new());
        let build =
            made.gauges("skidway_build_info", "Always 1; the label says which version runs.", "version")?;
        build.with_label_values(&[env!("CARGO_PKG_VERSION")]).set(1);
        let tickets = made.counters(
            "skidway_tickets_total",
            "Tickets that were posted, by what came of them.",
            "outcome",
        )?;
        let shed = made.counters(
            "skidway_requests_shed_total",
            "Requests that were told to come back, by why.",
            "reason",
        )?;
        // What has not happened yet is told as zero, so that an alarm on its growth works from the first time on.
        for outcome in ["accepted", "replayed", "refused"] {
            tickets.with_label_values(&[outcome]);
        }
        for reason in ["requests", "bodies", "rate"] {
            shed.with_label_values(&[reason]);
        }
        let pool = "Connections to the database, by what they do; `most` is the limit.";
        Ok(Self {
            requests: made.durations()?,
            active: made.gauge("http_server_active_requests", "Requests that are worked on now.")?,
            pool: made.gauges("skidway_pool_connections", pool, "state")?,
            waiting: made
                .gauge("skidway_pool_waiting", "Requests that wait for a connection to the database.")?,
            tickets,
            pieces: made.counter("skidway_pieces_total", "Pieces on the tickets that were accepted.")?,
            accruals: made
                .counter("skidway_accruals_total", "Accruals of the tickets that were accepted.")?,
            shed,
            sign_in_failures: made
                .counter("skidway_sign_in_failures_total", "Callers who could not show who they are.")?,
            outbox_waiting: made.gauge("skidway_outbox_waiting", "Events that are still to be delivered.")?,
            outbox_dead: made.gauge("skidway_outbox_dead", "Events that were given up.")?,
            outbox_lag: made
                .gauge("skidway_outbox_lag_seconds", "How long the oldest of them has waited.")?,
            replica: Arc::default(),
            registry: made.0,
            looking: Arc::default(),
        })
    }

    /// Times a request that was answered. The route is a pattern, never a path.
    pub fn answered(&self, method: &str, route: &str, status: u16, took: Duration) {
        self.requests.with_label_values(&[method, route, &status.to_string()]).observe(took.as_secs_f64());
    }

    /// Counts a request that was told to come back.
    pub fn shed(&self, reason: &str) {
        self.shed.with_label_values(&[reason]).inc();
    }

    /// Counts tickets that were posted and not kept anew; what was kept the store counts itself.
    pub fn tickets_not_kept(&self, outcome: NotKept, tickets: u64) {
        let outcome = match outcome {
            NotKept::Replayed => "replayed",
            NotKept::Refused => "refused",
        };
        self.tickets.with_label_values(&[outcome]).inc_by(tickets);
    }

    /// Counts a caller who could not show who they are.
    pub fn sign_in_failed(&self) {
        self.sign_in_failures.inc();
    }

    /// How the outbox stands at this time.
    pub fn outbox_stands_at(&self, lag: &DeliveryLag, now: Timestamp) {
        let whole = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
        let waited = lag.oldest.map_or(0, |oldest| now.duration_since(oldest).as_secs());
        self.outbox_waiting.set(whole(lag.waiting));
        self.outbox_lag.set(waited.max(0));
        self.outbox_dead.set(whole(lag.dead));
    }

    /// How far the books are behind that an instance answers from which only reads.
    pub fn replica_stands(&self, view: &ReplicaView) {
        if self.replica.get().is_none() {
            match Maker(self.registry.clone()).replica() {
                Ok(figures) => drop(self.replica.set(figures)),
                // Two who look for the first time at once: the other one's count.
                Err(error) => tracing::debug!(error = %error, "the figures of the replica are there"),
            }
        }
        if let Some(figures) = self.replica.get() {
            let whole = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
            figures.lag.set(whole(view.lag_seconds));
            figures.bytes.set(whole(view.behind_bytes));
            figures.caught_up.set(i64::from(view.caught_up));
        }
    }

    /// Every figure in the text format of Prometheus, version 0.0.4.
    ///
    /// # Errors
    ///
    /// When a figure cannot be written, which is a fault of ours.
    pub fn text(&self, store: &Store, active: usize) -> prometheus::Result<String> {
        let _looking = self.looking.lock().unwrap_or_else(PoisonError::into_inner);
        let usage = store.pool_usage();
        let gauge = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
        self.active.set(gauge(active));
        self.waiting.set(gauge(usage.waiting));
        let used = usage.open.saturating_sub(usage.idle);
        for (state, count) in [("most", usage.most), ("used", used), ("idle", usage.idle)] {
            self.pool.with_label_values(&[state]).set(gauge(count));
        }
        let kept = store.kept();
        let take_over = |counter: &IntCounter, sum: u64| counter.inc_by(sum.saturating_sub(counter.get()));
        take_over(&self.tickets.with_label_values(&["accepted"]), kept.tickets);
        take_over(&self.pieces, kept.pieces);
        take_over(&self.accruals, kept.accruals);
        TextEncoder::new().encode_to_string(&self.registry.gather())
    }
}

/// Makes figures and registers them.
struct Maker(Registry);

impl Maker {
    fn registered<T: Collector + Clone + 'static>(&self, figure: T) -> prometheus::Result<T> {
        self.0.register(Box::new(figure.clone())).map(|()| figure)
    }

    fn gauge(&self, name: &str, help: &str) -> prometheus::Result<IntGauge> {
        self.registered(IntGauge::new(name, help)?)
    }

    fn gauges(&self, name: &str, help: &str, label: &str) -> prometheus::Result<IntGaugeVec> {
        self.registered(IntGaugeVec::new(Opts::new(name, help), &[label])?)
    }

    fn counter(&self, name: &str, help: &str) -> prometheus::Result<IntCounter> {
        self.registered(IntCounter::new(name, help)?)
    }

    fn counters(&self, name: &str, help: &str, label: &str) -> prometheus::Result<IntCounterVec> {
        self.registered(IntCounterVec::new(Opts::new(name, help), &[label])?)
    }

    fn replica(&self) -> prometheus::Result<ReplicaFigures> {
        Ok(ReplicaFigures {
            lag: self.gauge(
                "skidway_replica_lag_seconds",
                "How long ago the last change that has arrived was made; zero while nothing is under way.",
            )?,
            bytes: self
                .gauge("skidway_replica_behind_bytes", "What has come and is still to be taken over.")?,
            caught_up: self.gauge(
                "skidway_replica_caught_up",
                "Whether it is connected to the books and has taken over everything that came.",
            )?,
        })
    }

    fn durations(&self) -> prometheus::Result<HistogramVec> {
        let name = "http_server_request_duration_seconds";
        let options = HistogramOpts::new(name, "How long requests took, by what they were for.");
        let labels = ["http_request_method", "http_route", "http_response_status_code"];
        self.registered(HistogramVec::new(options.buckets(BUCKETS.to_vec()), &labels)?)
    }
}
