//! What no file may say: where somebody's machine keeps things, who serves packages, how the project came about.

use crate::exceptions::{Finding, check};
use crate::repository::{Text, texts};

/// Below these first folders people and build machines keep their own things.
const PRIVATE_FOLDERS: [&str; 8] =
    ["home", "root", "Users", "work", "workspace", "workspaces", "builds", "github"];

/// Names of hosts that serve packages, without their last part so that the list does not find itself.
const REGISTRIES: [(&str, &str); 12] = [
    ("crates", "io"),
    ("docs", "rs"),
    ("npmjs", "org"),
    ("npmjs", "com"),
    ("pypi", "org"),
    ("pythonhosted", "org"),
    ("debian", "org"),
    ("ubuntu", "com"),
    ("docker", "io"),
    ("ghcr", "io"),
    ("quay", "io"),
    ("golang", "org"),
];

/// Words about papers the work was done from, each in two parts for the same reason.
const WORDS: [(&str, &str); 6] = [
    ("trans", "cript"),
    ("trans", "cripts"),
    ("source ", "document"),
    ("source ", "documents"),
    ("language ", "model"),
    ("chat", "bot"),
];

/// A path that begins at the top of a machine and leads to somebody's own folder.
fn machine_paths(text: &Text) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (number, line) in text.lines() {
        for (at, _) in line.match_indices('/') {
            let (before, after) = line.split_at(at);
            // In the middle of a path, an address or a JSON pointer, the folder means something else.
            if before.ends_with(|letter: char| letter.is_alphanumeric() || "/.-_}#~$".contains(letter)) {
                continue;
            }
            let path: String = after
                .chars()
                .take_while(|letter| letter.is_alphanumeric() || "/._-".contains(*letter))
                .collect();
            let mut parts = path.split('/').skip(1);
            let first = parts.next().unwrap_or_default();
            let second = parts.next().unwrap_or_default();
            // A JSON pointer goes on with a position.
            if PRIVATE_FOLDERS.contains(&first)
                && second.starts_with(|letter: char| letter.is_alphabetic() || letter == '.')
            {
                let folder = format!("/{first}/{second}");
                findings.push(Finding::at(
                    &text.path,
                    number,
                    &folder,
                    "a path of somebody's machine: take it out",
                ));
            }
        }
    }
    findings
}

fn registries(text: &Text) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (number, line) in text.lines() {
        for host in REGISTRIES.map(|(name, end)| format!("{name}.{end}")) {
            if holds_whole(line, &host) {
                findings.push(Finding::at(
                    &text.path,
                    number,
                    &host,
                    "a host that serves packages: leave it to the tool",
                ));
            }
        }
    }
    findings
}

fn words(text: &Text) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (number, line) in text.lines() {
        let line = line.to_lowercase();
        for word in WORDS.map(|(begin, end)| format!("{begin}{end}")) {
            if holds_whole(&line, &word) {
                findings.push(Finding::at(
                    &text.path,
                    number,
                    &word,
                    "it speaks of papers a reader does not have",
                ));
            }
        }
    }
    findings
}

/// Whether `line` holds `text` not as a part of a longer word.
fn holds_whole(line: &str, text: &str) -> bool {
    line.match_indices(text).any(|(at, found)| {
        let (before, rest) = line.split_at(at);
        let after = rest.strip_prefix(found).unwrap_or_default();
        !before.ends_with(char::is_alphanumeric) && !after.starts_with(char::is_alphanumeric)
    })
}

/// Where every package of the lock file comes from.
fn sources(lock: &Text) -> Vec<Finding> {
    // The name of the one public index, as cargo writes it on every machine.
    let index = format!("\"registry+https://github.com/rust-lang/{}.io-index\"", "crates");
    let source = |(number, line): (usize, &str)| {
        let source = line.strip_prefix("source = ")?;
        (source != index).then(|| {
            Finding::at(&lock.path, number, source, "not the public index: another machine cannot fetch it")
        })
    };
    lock.lines().filter_map(source).collect()
}

/// The lock file is cargo's, and exceptions have to name what they excuse.
fn is_ours(text: &&Text) -> bool {
    text.path != "Cargo.lock" && !text.is_under(&["tests/tree/allow"])
}

#[test]
fn no_file_names_a_place_on_somebodys_machine() {
    check("machine_paths", &texts().iter().filter(is_ours).flat_map(machine_paths).collect::<Vec<_>>());
}

#[test]
fn no_file_names_a_host_of_packages() {
    check("registries", &texts().iter().filter(is_ours).flat_map(registries).collect::<Vec<_>>());
}

#[test]
fn packages_come_from_the_public_index() {
    let texts = texts();
    let lock = texts.iter().find(|text| text.path == "Cargo.lock").expect("there is a lock file");
    check("sources", &sources(lock));
}

#[test]
fn no_file_speaks_of_papers_a_reader_does_not_have() {
    let concerned = |text: &&Text| is_ours(text) && text.path != "DEVELOPERS.md";
    check("words", &texts().iter().filter(concerned).flat_map(words).collect::<Vec<_>>());
}

#[test]
fn each_rule_sees_what_it_is_for() {
    let text = |content: String| Text::new("a.md", &content);
    let paths = |before: &str, folder: &str| machine_paths(&text(format!("{before}/{folder}"))).len();
    for folder in PRIVATE_FOLDERS.map(|folder| format!("{folder}/ann/x")) {
        assert_eq!((paths("cd ", &folder), paths("file://", &folder)), (1, 0), "{folder}");
        assert_eq!((paths("\"", &folder), paths("/v1", &folder)), (1, 0), "{folder}");
    }
    assert_eq!((paths("", "work/0/task"), paths("", "srv/skidway"), paths("", "home")), (0, 0, 0));

    for (name, end) in REGISTRIES {
        assert_eq!(registries(&text(format!("https://static.{name}.{end}/x"))).len(), 1, "{name}");
    }
    assert!(registries(&text("debian.organised".to_owned())).is_empty());

    for (begin, end) in WORDS {
        assert_eq!(words(&text(format!("From the {}{end}.", begin.to_uppercase()))).len(), 1, "{begin}{end}");
    }
    assert!(words(&text(format!("an error of {}iption", "transcr"))).is_empty());

    let lock = |source: &str| sources(&text(format!("[[package]]\nsource = \"{source}\"\n"))).len();
    assert_eq!(lock("sparse+https://mirror.example/index/"), 1);
    assert_eq!(lock(&format!("registry+https://github.com/rust-lang/{}.io-index", "crates")), 0);
}
