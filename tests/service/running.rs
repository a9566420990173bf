//! Running the service: its metrics, its limits, how it says that it is ready and how it stops.

mod limits;
mod metrics;
mod readiness;
mod replica;
mod traces;
