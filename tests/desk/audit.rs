//! The audit at the desk: the API's own figures, ways down that lead somewhere, and each role's own view.

mod crawl;
mod figures;
mod roles;

use serde_json::Value;
use tests::{Furnished, log, ticket};

/// The days that the tickets fall on.
pub const SPAN: &str = "from=2026-05-31&to=2026-06-13";

/// Two weeks of wood: the first is settled and paid in part, the second open.
pub fn two_weeks(outfit: &Furnished) -> Value {
    for (number, day, logs) in [
        (1, "2026-06-03", vec![log("14", "16"), log("11", "12")]),
        (2, "2026-06-04", vec![log("16", "16")]),
        (3, "2026-06-08", vec![log("12", "16")]),
    ] {
        let _posted = outfit.scaler.post("/v1/tickets", &ticket(outfit, number, day, &logs)).expect(201);
    }
    outfit.settle("2026-06-06")
}
