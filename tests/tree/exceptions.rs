//! What a rule found, less what it may overlook.

use std::fmt;
use std::fs;

use crate::repository::root;

/// Something that breaks a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Where: a path, with the line where there is one to point at.
    pub place: String,
    /// What an exception has to name.
    pub key: String,
    /// What is wrong, and what to do.
    pub says: String,
}

impl Finding {
    /// A finding about a whole file or folder; its path is what an exception names.
    pub fn of(path: &str, says: impl Into<String>) -> Self {
        Self { place: path.to_owned(), key: path.to_owned(), says: says.into() }
    }

    /// A finding in one line of a file; an exception names the path and `what`, so that it outlives other edits.
    pub fn at(path: &str, line: usize, what: &str, says: impl Into<String>) -> Self {
        Self { place: format!("{path}:{line}"), key: format!("{path} {what}"), says: says.into() }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}: {} [{}]", self.place, self.says, self.key)
    }
}

/// Fails unless every finding of a rule is excused in `allow/<rule>.txt`, and every excuse there is needed.
pub fn check(rule: &str, findings: &[Finding]) {
    let list = format!("tests/tree/allow/{rule}.txt");
    let excuses = fs::read_to_string(root().join(&list)).unwrap_or_default();
    let left = judge(&list, &excuses, findings);
    let told: Vec<_> = left.iter().map(ToString::to_string).collect();
    assert!(left.is_empty(), "{} against the rule `{rule}`:\n{}", left.len(), told.join("\n"));
}

/// What is left of the findings, and what is wrong with the excuses. An excuse is a line `key = reason`.
fn judge(list: &str, excuses: &str, findings: &[Finding]) -> Vec<Finding> {
    let mut keys = Vec::new();
    let mut left = Vec::new();
    for (number, line) in (1..).zip(excuses.lines()).filter(|(_, line)| !line.trim().is_empty()) {
        let (key, reason) = line.split_once(" = ").unwrap_or((line, ""));
        let (key, reason) = (key.trim(), reason.trim());
        if reason.is_empty() {
            left.push(Finding::at(list, number, key, "an exception needs a reason: write `what = why`"));
        }
        if !findings.iter().any(|finding| finding.key == key) {
            left.push(Finding::at(list, number, key, "nothing needs this exception any more: take it out"));
        }
        keys.push(key);
    }
    left.extend(findings.iter().filter(|finding| !keys.contains(&finding.key.as_str())).cloned());
    left
}

#[test]
fn exceptions_are_needed_and_have_reasons() {
    let long = [Finding::of("a.rs", "too long")];
    let places = |excuses: &str, findings: &[Finding]| -> Vec<String> {
        judge("list", excuses, findings).into_iter().map(|finding| finding.place).collect()
    };
    assert!(places("a.rs = one table\n", &long).is_empty());
    assert_eq!(places("", &long), ["a.rs"]);
    assert_eq!(places("b.rs = gone\n", &long), ["list:1", "a.rs"]);
    assert_eq!(places("\na.rs\n", &long), ["list:2"]);
    assert_eq!(places("a.rs = \n", &long), ["list:1"]);
}

#[test]
fn every_list_of_exceptions_belongs_to_a_rule() {
    const RULES: [&str; 11] = [
        "floats",
        "function_lengths",
        "file_lengths",
        "globs",
        "leftovers",
        "machine_paths",
        "purposes",
        "registries",
        "sources",
        "unused_crates",
        "words",
    ];
    let folder = root().join("tests/tree/allow");
    for entry in fs::read_dir(folder).into_iter().flatten() {
        let name = entry.expect("the folder can be read").file_name().to_string_lossy().into_owned();
        let rule = name.strip_suffix(".txt");
        assert!(rule.is_some_and(|rule| RULES.contains(&rule)), "no rule reads tests/tree/allow/{name}");
    }
}
