//! The metrics: figures in the form that a scrape reads, on a listener of their own, without a word about anybody.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::json;
use tests::TestApp;
use wire::Code;

use crate::raw::exchange;
use crate::world::World;

/// A line of the text format: a name, its labels, its value.
#[derive(Debug)]
struct Sample {
    name: String,
    labels: BTreeMap<String, String>,
    value: String,
}

/// Reads `name{label="value",…} number`.
fn sample(line: &str) -> Sample {
    let (head, value) = line.rsplit_once(' ').unwrap_or_else(|| panic!("no value: {line}"));
    let (name, labels) = match head.split_once('{') {
        None => (head, ""),
        Some((name, labels)) => {
            (name, labels.strip_suffix('}').unwrap_or_else(|| panic!("not closed: {line}")))
        }
    };
    let plain = |letter: char| letter.is_ascii_alphanumeric() || letter == '_';
    assert!(!name.is_empty() && name.chars().all(plain), "{line}");
    let labels = labels.split_terminator(',').map(|label| {
        let (name, value) = label.split_once('=').unwrap_or_else(|| panic!("no label: {line}"));
        assert!(name.chars().all(plain), "{line}");
        let value = value.strip_prefix('"').and_then(|value| value.strip_suffix('"'));
        (name.to_owned(), value.unwrap_or_else(|| panic!("no quotes: {line}")).to_owned())
    });
    Sample { name: name.to_owned(), labels: labels.collect(), value: value.to_owned() }
}

/// An exposition that keeps the rules of the format 0.0.4.
struct Exposition(Vec<Sample>);

impl Exposition {
    fn read(text: &str) -> Self {
        assert!(text.ends_with('\n'), "the last line has an end too");
        let (mut helped, mut typed, mut samples) = (BTreeSet::new(), BTreeMap::new(), Vec::new());
        for line in text.lines() {
            if let Some(rest) = line.strip_prefix("# HELP ") {
                let name = rest.split(' ').next().expect("a name");
                assert!(helped.insert(name.to_owned()), "HELP stands twice: {name}");
            } else if let Some(rest) = line.strip_prefix("# TYPE ") {
                let (name, kind) = rest.split_once(' ').expect("a name and a type");
                assert!(["counter", "gauge", "histogram"].contains(&kind), "{line}");
                assert!(helped.contains(name), "TYPE before HELP: {name}");
                assert!(
                    typed.insert(name.to_owned(), kind.to_owned()).is_none(),
                    "TYPE stands twice: {name}"
                );
            } else {
                let sample = sample(line);
                let family = ["_bucket", "_sum", "_count"].iter().find_map(|part| {
                    sample.name.strip_suffix(part).filter(|family| typed.contains_key(*family))
                });
                let kind = typed.get(family.unwrap_or(&sample.name));
                assert!(kind.is_some(), "a sample before its TYPE: {line}");
                assert_eq!(family.is_some(), kind.is_some_and(|kind| kind == "histogram"), "{line}");
                let counted = kind.is_some_and(|kind| kind == "counter");
                assert_eq!(sample.name.ends_with("_total"), counted, "counters end in _total: {line}");
                samples.push(sample);
            }
        }
        let exposition = Self(samples);
        exposition.histograms_add_up();
        exposition
    }

    fn histograms_add_up(&self) {
        let mut histograms: BTreeMap<String, Vec<&Sample>> = BTreeMap::new();
        for sample in self.0.iter().filter(|sample| sample.name.ends_with("_bucket")) {
            let mut labels = sample.labels.clone();
            labels.remove("le").expect("an upper bound");
            histograms.entry(format!("{} {labels:?}", sample.name)).or_default().push(sample);
        }
        assert!(!histograms.is_empty());
        for (name, buckets) in histograms {
            let counts: Vec<u64> = buckets.iter().map(|one| one.value.parse().expect("a count")).collect();
            assert!(counts.is_sorted(), "{name}: {counts:?}");
            let bounds: Vec<_> = buckets.iter().map(|one| one.labels["le"].as_str()).collect();
            let advised = [
                "0.005", "0.01", "0.025", "0.05", "0.075", "0.1", "0.25", "0.5", "0.75", "1", "2.5", "5",
                "7.5", "10", "+Inf",
            ];
            assert_eq!(bounds, advised, "{name}");
            let mut labels = buckets[0].labels.clone();
            labels.remove("le");
            let family = buckets[0].name.strip_suffix("_bucket").expect("a bucket");
            let count = self.value(&format!("{family}_count"), &labels);
            assert_eq!(count, counts.last().map(ToString::to_string), "{name}: +Inf is the count");
            assert!(self.value(&format!("{family}_sum"), &labels).is_some(), "{name}");
        }
    }

    fn value(&self, name: &str, labels: &BTreeMap<String, String>) -> Option<String> {
        let found = self.0.iter().find(|one| one.name == name && one.labels == *labels);
        found.map(|one| one.value.clone())
    }

    fn number(&self, name: &str, labels: &[(&str, &str)]) -> u64 {
        let labels = labels.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
        let value = self.value(name, &labels).unwrap_or_else(|| panic!("no {name} {labels:?}"));
        value.parse().expect("a whole number")
    }
}

fn scraped(app: &TestApp) -> Exposition {
    let reply = exchange(app.metrics_address, "GET /metrics", &[], b"");
    assert_eq!(reply.status, 200, "{}", reply.head);
    assert_eq!(reply.header("content-type"), Some("text/plain; version=0.0.4; charset=utf-8"));
    Exposition::read(&reply.text)
}

#[test]
fn the_format_is_held_to_its_rules() {
    let good = "# HELP a_total x\n# TYPE a_total counter\na_total{b=\"c\"} 1\n";
    let histogram = "# HELP h x\n# TYPE h histogram\n";
    assert!(std::panic::catch_unwind(|| Exposition::read(good)).is_err(), "there is no histogram in it");
    for wrong in
        ["a_total 1\n", "# TYPE a_total counter\na_total 1\n", "# HELP a x\n# HELP a x\n", "# HELP a x"]
    {
        let text = format!("{histogram}{wrong}");
        assert!(std::panic::catch_unwind(|| Exposition::read(&text)).is_err(), "{text}");
    }
}

#[test]
fn what_happens_is_counted() {
    let app = TestApp::start();
    let world = World::new(&app);
    let before = scraped(&app);
    let scaler = &world.outfit.manager;
    let ticket = world.ticket();
    let accepted = scaler.post("/v1/tickets", &ticket).expect(201);
    let _replayed = scaler.post("/v1/tickets", &ticket).expect(200);
    let mut other = ticket.clone();
    other["pieces"] = json!([other["pieces"][0]]);
    let _differs = scaler.post("/v1/tickets", &other).refuses(Code::TicketDiffers);
    let _nobody = app.stranger().get("/v1/tickets").refuses(Code::NoToken);
    let after = scraped(&app);
    let grown =
        |name: &str, labels: &[(&str, &str)]| after.number(name, labels) - before.number(name, labels);
    for outcome in ["accepted", "replayed", "refused"] {
        assert_eq!(grown("skidway_tickets_total", &[("outcome", outcome)]), 1, "{outcome}");
    }
    assert_eq!(grown("skidway_pieces_total", &[]), 2);
    let accruals =
        accepted["scaled"].as_array().expect("scaled").iter().map(|one| one["accruals"].as_array());
    let accruals: usize = accruals.map(|accruals| accruals.map_or(0, Vec::len)).sum();
    assert!(accruals > 0, "{accepted:#}");
    assert_eq!(grown("skidway_accruals_total", &[]), u64::try_from(accruals).expect("few"));
    assert_eq!(grown("skidway_sign_in_failures_total", &[]), 1);
    assert_eq!(after.number("skidway_pool_connections", &[("state", "most")]), 8);
    assert_eq!(after.number("skidway_pool_waiting", &[]), 0);
    assert_eq!(after.number("http_server_active_requests", &[]), 0);
    assert_eq!(after.number("skidway_build_info", &[("version", env!("CARGO_PKG_VERSION"))]), 1);
    let posted = |status: &'static str| {
        [
            ("http_request_method", "POST"),
            ("http_route", "/v1/tickets"),
            ("http_response_status_code", status),
        ]
    };
    let name = "http_server_request_duration_seconds_count";
    assert_eq!(grown(name, &posted("201")), 1);
    assert_eq!(after.number(name, &posted("409")), 1);
}

/// Labels are patterns and words of ours: nothing that a caller chose, and nobody's name or id.
#[test]
fn no_label_says_who_or_which() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let _shown = manager.get(&format!("/v1/tickets/{}", world.settled_ticket)).expect(200);
    let _nothing = manager.get("/v1/made-up/4711").refuses(Code::NoSuchPath);
    let _wrong =
        manager.send("BREW".parse().expect("a method"), "/v1/tickets", None).refuses(Code::MethodNotAllowed);
    let exposition = scraped(&app);
    for sample in &exposition.0 {
        for (name, value) in &sample.labels {
            let route = name == "http_route" && (value == "(none)" || value.starts_with('/'));
            assert!(route || value.len() <= 12, "{sample:?}");
            let id = value
                .split(['/', '-'])
                .any(|part| part.len() >= 4 && part.chars().all(|one| one.is_ascii_hexdigit()));
            assert!(!id && !value.contains("4711") && !value.contains("BREW"), "{sample:?}");
        }
    }
    let name = "http_server_request_duration_seconds_count";
    let other =
        [("http_request_method", "_OTHER"), ("http_route", "(none)"), ("http_response_status_code", "405")];
    assert_eq!(exposition.number(name, &other), 1);
}

/// Whoever may call the service learns nothing of how it runs.
#[test]
fn the_public_port_has_no_metrics() {
    let app = TestApp::start();
    let _nothing = app.operator().get("/metrics").refuses(Code::NoSuchPath);
    let reply = exchange(app.metrics_address, "GET /v1/outfit", &[], b"");
    assert_eq!(reply.status, 404, "and the page of metrics has nothing else");
}
