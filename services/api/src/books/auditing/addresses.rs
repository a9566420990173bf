//! Where the things lie that a figure is made of.

use jiff::civil::Date;
use kernel::{CrewId, JobId, MillId, Product, SettlementId};
use settlement::Task;
use wire::{MadeOf, MadeOfKind};

use super::Scope;
use crate::http::query::encoded;

/// An address with a query; what is not there is left out.
fn address(path: &str, pairs: &[(&str, Option<String>)]) -> String {
    let given = pairs.iter().filter_map(|(name, value)| value.as_ref().map(|value| (name, value)));
    let query: Vec<_> = given.map(|(name, value)| format!("{name}={}", encoded(value))).collect();
    if query.is_empty() { path.to_owned() } else { format!("{path}?{}", query.join("&")) }
}

/// Which standing tickets.
#[derive(Clone, Copy, Debug)]
pub struct TicketsOf<'a> {
    /// Scaled between these two days.
    pub days: (Date, Date),
    /// Of this job.
    pub job: Option<JobId>,
    /// With work of this crew.
    pub crew: Option<CrewId>,
    /// With this task, of the crew where one is named.
    pub task: Option<Task>,
    /// Delivered to this mill.
    pub mill: Option<MillId>,
    /// Delivered, to whichever mill.
    pub delivered: bool,
    /// With a piece of this kind and species.
    pub timber: Option<(Product, &'a str)>,
}

impl TicketsOf<'_> {
    /// All of some days.
    #[must_use]
    pub const fn days(from: Date, to: Date) -> Self {
        Self {
            days: (from, to),
            job: None,
            crew: None,
            task: None,
            mill: None,
            delivered: false,
            timber: None,
        }
    }

    /// Where they are listed, with what contracts make of each piece.
    #[must_use]
    pub fn made_of(self) -> MadeOf {
        let (product, species) = self.timber.unzip();
        MadeOf::new(
            MadeOfKind::Tickets,
            address(
                "/v1/tickets",
                &[
                    ("from", Some(self.days.0.to_string())),
                    ("to", Some(self.days.1.to_string())),
                    ("state", Some("standing".to_owned())),
                    ("job_id", self.job.map(|job| job.to_string())),
                    ("crew_id", self.crew.map(|crew| crew.to_string())),
                    ("task", self.task.map(|task| task.name().to_owned())),
                    ("delivered_to", self.mill.map(|mill| mill.to_string())),
                    ("delivered", self.delivered.then(|| "true".to_owned())),
                    ("product", product.map(|product| product.name().to_owned())),
                    ("species", species.map(str::to_owned)),
                    ("pieces", Some("scaled".to_owned())),
                ],
            ),
        )
    }
}

/// The tickets of a scaler among those in question.
#[must_use]
pub fn scaler_tickets(scaler: &str, scope: Scope) -> MadeOf {
    let tickets = TicketsOf {
        job: scope.job,
        crew: scope.crew,
        mill: scope.mill,
        ..TicketsOf::days(scope.from, scope.to)
    };
    let mut made_of = tickets.made_of();
    made_of.address.push_str(&format!("&scaler={}", encoded(scaler)));
    made_of
}

/// A posted line.
#[must_use]
pub fn settlement_line(settlement: SettlementId, number: i32) -> MadeOf {
    MadeOf::new(MadeOfKind::SettlementLine, format!("/v1/settlements/{settlement}/lines/{number}"))
}

/// The hours of some days that count.
#[must_use]
pub fn hours((from, to): (Date, Date)) -> MadeOf {
    let pairs = [("from", Some(from.to_string())), ("to", Some(to.to_string()))];
    let standing = ("standing", Some("true".to_owned()));
    MadeOf::new(
        MadeOfKind::TimeEntries,
        address("/v1/time-entries", &[pairs.as_slice(), &[standing]].concat()),
    )
}

/// The statements of a settlement, or of a payee: a name of the query and its value.
#[must_use]
pub fn statements(name: &str, value: String) -> MadeOf {
    MadeOf::new(MadeOfKind::Statements, address("/v1/statements", &[(name, Some(value))]))
}

/// A payee's payments of some days.
#[must_use]
pub fn payments((name, value): (&str, String), (from, to): (Date, Date)) -> MadeOf {
    let pairs = [(name, Some(value)), ("from", Some(from.to_string())), ("to", Some(to.to_string()))];
    MadeOf::new(MadeOfKind::Payments, address("/v1/payments", &pairs))
}

/// What accounts stand at when a day ends.
#[must_use]
pub fn balances(on: Date) -> MadeOf {
    MadeOf::new(MadeOfKind::Balances, address("/v1/balances", &[("on", Some(on.to_string()))]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn what_is_not_asked_stands_in_no_address_and_names_are_encoded() {
        let week = TicketsOf::days(date(2031, 6, 1), date(2031, 6, 7));
        assert_eq!(
            week.made_of().address,
            "/v1/tickets?from=2031-06-01&to=2031-06-07&state=standing&pieces=scaled"
        );
        let pine = TicketsOf { timber: Some((Product::Log, "white pine & fir")), ..week };
        assert!(pine.made_of().address.contains("&product=log&species=white%20pine%20%26%20fir&"));
    }
}
