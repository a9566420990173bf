//! Which crate may use which, ours and other people's.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsString;
use std::process::Command;

use serde_json::Value;

use crate::exceptions::{Finding, check};
use crate::repository::{Text, root, texts};

/// Which of our crates each of our crates may use. `tests` may use all of them, and none may use `tests`.
const EDGES: [(&str, &[&str]); 14] = [
    ("kernel", &[]),
    ("localpg", &[]),
    ("scaling", &["kernel"]),
    ("settlement", &["kernel"]),
    ("audit", &["kernel"]),
    ("seal", &["kernel"]),
    ("wire", &["audit", "kernel", "scaling", "seal", "settlement"]),
    ("papers", &["audit", "kernel", "scaling", "settlement", "wire"]),
    ("storage", &["audit", "kernel", "scaling", "seal", "settlement"]),
    ("client", &["audit", "kernel", "scaling", "seal", "settlement", "wire"]),
    // The desk asks the service for everything, as people's other tools do.
    ("desk", &["audit", "client", "kernel", "papers", "scaling", "seal", "settlement", "wire"]),
    // The demonstration drives the service through the client, as people would.
    (
        "api",
        &[
            "audit",
            "client",
            "desk",
            "kernel",
            "localpg",
            "papers",
            "scaling",
            "seal",
            "settlement",
            "storage",
            "wire",
        ],
    ),
    // Measures what the others do; none may use it.
    ("bench", &["api", "client", "kernel", "localpg", "scaling", "wire"]),
    // Runs the service and breaks what is around it; none may use it.
    ("faults", &["api", "client", "kernel", "localpg", "storage", "wire"]),
];

/// What only tests: it may name every package.
const TESTING: [&str; 2] = ["tests", "faults"];

/// Packages that only these crates may name, beside those that only test.
const KEPT_TO: [(&str, &[&str]); 16] = [
    ("diesel", &["storage"]),
    ("diesel-async", &["storage"]),
    ("diesel_migrations", &["storage"]),
    ("jiff-diesel", &["storage"]),
    ("actix-web", &["api", "desk"]),
    ("tracing-actix-web", &["api"]),
    ("utoipa-actix-web", &["api"]),
    ("utoipa-swagger-ui", &["api"]),
    ("jsonwebtoken", &["api"]),
    ("reqwest", &["client", "api"]),
    ("tokio-postgres", &["bench", "localpg"]),
    ("krilla", &["papers"]),
    ("krilla-svg", &["papers"]),
    ("rustybuzz", &["papers"]),
    ("typst-assets", &["papers"]),
    ("usvg", &["papers"]),
];

/// All that crates without input and output may be built from, beside each other. `getrandom` is the kernel's one
/// way to random bytes, behind `kernel::Entropy`.
const PURE: [(&str, &[&str]); 7] = [
    ("kernel", &["getrandom", "iso_currency", "jiff", "serde", "thiserror", "utoipa", "uuid"]),
    ("scaling", &["serde", "thiserror", "utoipa"]),
    ("settlement", &["jiff", "serde", "thiserror", "utoipa"]),
    ("audit", &["num-bigint", "num-rational", "num-traits", "serde", "thiserror", "utoipa"]),
    (
        "seal",
        &[
            "aws-lc-rs",
            "jiff",
            "serde",
            "serde_json",
            "serde_json_canonicalizer",
            "sha2",
            "thiserror",
            "utoipa",
            "uuid",
        ],
    ),
    ("wire", &["jiff", "serde", "serde_json", "thiserror", "utoipa", "uuid"]),
    ("papers", &["jiff", "krilla", "krilla-svg", "maud", "rustybuzz", "thiserror", "typst-assets", "usvg"]),
];

/// What a pure crate's code may not reach for in the standard library.
const OUTSIDE: [&str; 8] =
    ["std::env", "std::fs", "std::io", "std::net", "std::process", "std::thread", "std::time", "println!"];

/// A dependency as a manifest declares it.
#[derive(Debug)]
struct Dependency {
    name: String,
    /// For the tests of the crate alone.
    development: bool,
    ours: bool,
}

fn cargo(arguments: &[&str]) -> String {
    let program = std::env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo"));
    let output = Command::new(program).current_dir(root()).args(arguments).output();
    let output = output.expect("cargo can be started");
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("cargo writes UTF-8")
}

/// What every crate of the workspace declares.
fn workspace() -> BTreeMap<String, Vec<Dependency>> {
    let metadata = cargo(&["metadata", "--no-deps", "--offline", "--format-version", "1"]);
    let metadata: Value = serde_json::from_str(&metadata).expect("cargo writes JSON");
    let list = |value: &Value, member: &str| value[member].as_array().cloned().unwrap_or_default();
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let dependency = |one: &Value| Dependency {
        name: text(&one["name"]),
        development: one["kind"] == "dev",
        ours: one["path"].is_string(),
    };
    list(&metadata, "packages")
        .iter()
        .map(|package| {
            (text(&package["name"]), list(package, "dependencies").iter().map(dependency).collect())
        })
        .collect()
}

fn of<'a, T>(list: &[(&str, &'a [T])], name: &str) -> Option<&'a [T]> {
    list.iter().find(|(known, _)| *known == name).map(|(_, value)| *value)
}

#[test]
fn crates_use_only_what_is_below_them() {
    let workspace = workspace();
    let known: BTreeSet<_> = EDGES.iter().map(|(name, _)| *name).chain(["tests"]).collect();
    assert_eq!(
        workspace.keys().map(String::as_str).collect::<BTreeSet<_>>(),
        known,
        "name the crate in EDGES"
    );
    for (name, dependencies) in &workspace {
        let Some(allowed) = of(&EDGES, name) else { continue };
        for other in dependencies.iter().filter(|one| one.ours) {
            assert!(allowed.contains(&other.name.as_str()), "{name} may not use {}", other.name);
        }
    }
}

#[test]
fn packages_are_kept_to_their_crates() {
    for (name, dependencies) in &workspace() {
        for other in dependencies.iter().filter(|_| !TESTING.contains(&name.as_str())) {
            let Some(allowed) = of(&KEPT_TO, &other.name) else { continue };
            assert!(
                allowed.contains(&name.as_str()),
                "{name} may not use {}: only {allowed:?} may",
                other.name
            );
        }
    }
}

#[test]
fn pure_crates_are_built_from_pure_packages() {
    let workspace = workspace();
    for (name, allowed) in PURE {
        let dependencies = workspace.get(name).expect("the crate is there");
        for other in dependencies.iter().filter(|one| !one.ours && !one.development) {
            assert!(allowed.contains(&other.name.as_str()), "{name} is pure and may not use {}", other.name);
        }
    }
    let pure = PURE.map(|(name, _)| format!("services/{name}/src"));
    for text in texts().iter().filter(|text| pure.iter().any(|folder| text.is_under(&[folder]))) {
        for (number, line) in text.lines() {
            // Documentation may show a reader how the crate is used by one that has input and output.
            let code = !line.trim_start().starts_with("//");
            let outside = OUTSIDE.iter().find(|outside| code && line.contains(**outside));
            assert_eq!(outside, None, "{}:{number}: {line}", text.path);
        }
    }
}

#[test]
fn the_client_links_nothing_of_the_server() {
    let tree = cargo(&[
        "tree",
        "--package",
        "client",
        "--edges",
        "normal",
        "--prefix",
        "none",
        "--format",
        "{p}",
        "--offline",
    ]);
    let linked: BTreeSet<_> = tree.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert!(linked.contains("reqwest"), "this is not the client's tree: {linked:?}");
    for server in
        ["diesel", "diesel-async", "actix-web", "tokio-postgres", "utoipa", "storage", "api", "localpg"]
    {
        assert!(!linked.contains(server), "the client links {server}");
    }
}

/// A section of a manifest: its lines up to the next section.
fn section<'a>(manifest: &'a Text, heading: &str) -> Vec<&'a str> {
    let lines = manifest.content.lines().skip_while(|line| line.trim() != heading).skip(1);
    lines.take_while(|line| !line.starts_with('[')).filter(|line| line.contains('=')).collect()
}

/// The manifests of the crates, by the crate's folder.
fn manifests(texts: &[Text]) -> Vec<&Text> {
    let found: Vec<_> = texts.iter().filter(|text| text.path.ends_with("/Cargo.toml")).collect();
    assert_eq!(found.len(), EDGES.len() + 1, "one manifest for each crate");
    found
}

#[test]
fn every_crate_inherits_versions_and_lints() {
    let texts = texts();
    for manifest in manifests(&texts) {
        assert_eq!(section(manifest, "[lints]"), ["workspace = true"], "{}", manifest.path);
        for heading in ["[dependencies]", "[dev-dependencies]", "[build-dependencies]"] {
            for line in section(manifest, heading) {
                let inherited = line.contains(".workspace = true") || line.contains("{ workspace = true");
                assert!(inherited, "{}: say the version of `{line}` in the workspace", manifest.path);
            }
        }
    }
}

#[test]
fn every_workspace_dependency_is_used() {
    let texts = texts();
    let top = texts.iter().find(|text| text.path == "Cargo.toml").expect("there is a workspace");
    let name = |line: &str| line.split(['=', '.', ' ']).next().unwrap_or_default().to_owned();
    let declared: BTreeSet<_> = section(top, "[workspace.dependencies]").into_iter().map(name).collect();
    let used: BTreeSet<_> = manifests(&texts)
        .into_iter()
        .flat_map(|manifest| {
            ["[dependencies]", "[dev-dependencies]"].map(|heading| section(manifest, heading)).concat()
        })
        .map(name)
        .collect();
    assert!(declared.len() > 20, "the workspace's dependencies were not read");
    let unused: Vec<_> = declared.difference(&used).collect();
    assert!(unused.is_empty(), "take these out of the workspace: {unused:?}");
}

/// A crate that is declared and never named in code is weight for nothing.
#[test]
fn every_dependency_is_named_in_the_code() {
    let texts = texts();
    let mut findings = Vec::new();
    for (name, dependencies) in &workspace() {
        let folder = match name.as_str() {
            "tests" => "tests".to_owned(),
            "bench" | "faults" => format!("tests/{name}"),
            service => format!("services/{service}"),
        };
        let code: Vec<_> = texts.iter().filter(|text| text.is_rust() && text.is_under(&[&folder])).collect();
        for dependency in dependencies {
            let word = dependency.name.replace('-', "_");
            if !code.iter().any(|text| names_crate(&text.content, &word)) {
                let path = format!("{folder}/Cargo.toml");
                findings.push(Finding::at(&path, 1, &dependency.name, "declared, and nowhere in the code"));
            }
        }
    }
    check("unused_crates", &findings);
}

/// Whether code says `word::…`, `use word…` or `extern crate word`, as one does of a crate.
fn names_crate(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, found)| {
        let (before, rest) = code.split_at(at);
        let after = rest.strip_prefix(found).unwrap_or_default();
        let whole = !before.ends_with(|letter: char| letter.is_alphanumeric() || letter == '_');
        whole && (after.starts_with("::") || before.ends_with("use ") && after.starts_with([';', ' ', '{']))
    })
}

#[test]
fn a_crate_is_recognised_by_its_name() {
    assert!(names_crate("let a = serde_json::from_str(b);", "serde_json"));
    assert!(names_crate("use tokio as runtime;", "tokio"));
    assert!(!names_crate("let a = my_serde_json::from_str(b);", "serde_json"));
    assert!(!names_crate("serde_jsonx::a serde_json", "serde_json"));
}
