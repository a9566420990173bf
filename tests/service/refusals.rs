//! Bad input: each kind gets its own code, words that a person understands and a pointer to the place, and leaves
//! nothing behind.

mod addresses;
mod bodies;
mod broken;
mod check_scales;
mod log_tables;
mod money;
mod pieces;
mod records;
mod terms;
mod tickets;

use serde_json::Value;
use tests::{Actor, Inspector, Reply, RowCounts, TestApp};
use wire::Code;

use crate::world::World;

/// A service with an outfit, and an eye on its database.
struct Yard {
    app: TestApp,
    world: World,
    database: Inspector,
}

/// A value that does not belong where it is put, and what is answered to it.
struct Wrong {
    /// Where it is put: a JSON Pointer into a good body.
    at: &'static str,
    /// What is put there.
    value: Value,
    /// The code of the refusal.
    code: Code,
    /// The pointer in the refusal.
    pointer: String,
    /// What the refusal says of it, in part.
    says: &'static str,
}

/// Shortens the tables.
fn wrong(
    at: &'static str,
    value: impl Into<Value>,
    code: Code,
    pointer: impl Into<String>,
    says: &'static str,
) -> Wrong {
    Wrong { at, value: value.into(), code, pointer: pointer.into(), says }
}

/// A value of a form that the member does not take; the refusal points at the member itself.
fn misformed(
    at: &'static str,
    value: impl Into<Value>,
    pointer: impl Into<String>,
    says: &'static str,
) -> Wrong {
    wrong(at, value, Code::WrongForm, pointer, says)
}

impl Yard {
    fn new() -> Self {
        let app = TestApp::start();
        let world = World::new(&app);
        let database = Inspector::connect(&app.database.url());
        Self { app, world, database }
    }

    fn manager(&self) -> &Actor {
        &self.world.outfit.manager
    }

    /// Sends something and checks that nothing came of it.
    fn refused(&self, code: Code, send: impl FnOnce() -> Reply) -> Value {
        let before: RowCounts = self.database.counts();
        let reply = send();
        let asked = reply.asked.clone();
        assert_eq!(reply.code(), Some(code), "{asked}: {} {:#}", reply.status, reply.body);
        let problem = reply.refuses(code);
        assert_eq!(self.database.counts(), before, "{asked} left something behind: {problem:#}");
        understandable(&problem, &asked);
        problem
    }

    /// Puts each wrong value into a good body and sends it.
    fn refuses_each(&self, path: &str, good: impl Fn() -> Value, table: Vec<Wrong>) {
        let mut failures = Vec::new();
        for one in table {
            let mut body = good();
            put(&mut body, one.at, one.value.clone());
            let shown: String = one.value.to_string().chars().take(60).collect();
            let before = self.database.counts();
            let reply = self.manager().post(path, &body).documented();
            let told = reply.body.to_string();
            let problems = reply.body["errors"].as_array().cloned().unwrap_or_default();
            // At the place itself, or anywhere on the way to it from where it must at least point.
            let at = format!("#{}", one.at);
            let leads = |there: &str| {
                there == one.pointer || (there.starts_with(one.pointer.as_str()) && at.starts_with(there))
            };
            let pointed = problems.iter().any(|problem| problem["pointer"].as_str().is_some_and(leads));
            if reply.code() != Some(one.code) {
                failures
                    .push(format!("{} = {shown}: not {:?} but {} {told}", one.at, one.code, reply.status));
            } else if !told.contains(one.says) {
                failures.push(format!("{} = {shown}: does not say \"{}\": {told}", one.at, one.says));
            } else if one.pointer.is_empty() != problems.is_empty() || (!one.pointer.is_empty() && !pointed) {
                failures.push(format!("{} = {shown}: does not point at {}: {told}", one.at, one.pointer));
            } else {
                understandable(reply.refused(one.code), &format!("{} = {shown}", one.at));
            }
            if self.database.counts() != before {
                failures.push(format!("{} = {shown}: left something behind", one.at));
            }
        }
        assert!(failures.is_empty(), "{path}:\n{}", failures.join("\n"));
    }
}

/// Puts a value at a place in a body, where there need not have been one.
fn put(body: &mut Value, at: &str, value: Value) {
    let (parent, name) = at.rsplit_once('/').unwrap_or_else(|| panic!("{at} is no pointer"));
    let parent = body.pointer_mut(parent).unwrap_or_else(|| panic!("{at}: nothing there to put it into"));
    match parent {
        Value::Array(items) if name == "-" => items.push(value),
        Value::Array(items) => items[name.parse::<usize>().expect("a place")] = value,
        Value::Object(members) => {
            members.insert(name.to_owned(), value);
        }
        other => panic!("{at}: {other} holds nothing"),
    }
}

/// Words for people: some, not too many, and none that only the service's own makers know.
fn understandable(problem: &Value, asked: &str) {
    let mut texts = vec![problem["detail"].as_str().unwrap_or_default().to_owned()];
    for error in problem["errors"].as_array().into_iter().flatten() {
        texts.push(error["detail"].as_str().unwrap_or_default().to_owned());
        let pointer = error["pointer"].as_str().unwrap_or_default();
        assert!(pointer.starts_with('#') || pointer.starts_with("/v1/"), "{asked}: pointer {pointer}");
    }
    let jargon = [
        "struct ",
        "enum ",
        "tuple",
        "newtype",
        "::",
        "serde",
        "unwrap",
        "panic",
        "SQL",
        "constraint",
        "None",
        "Some(",
        "i32",
        "u16",
        "u32",
        "i64",
        "map key",
        "relation",
        "column \"",
    ];
    for text in texts {
        assert!(text.len() > 10 && text.len() < 1_500, "{asked}: \"{text}\"");
        for word in jargon {
            assert!(!text.contains(word), "{asked}: \"{text}\" says {word}");
        }
    }
    for member in ["title", "advice", "type"] {
        assert!(problem[member].as_str().is_some_and(|text| !text.is_empty()), "{asked}: {problem:#}");
    }
}
