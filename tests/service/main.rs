//! The running service, through HTTP, each test on a database of its own.

mod journeys;
