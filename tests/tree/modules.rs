//! What every module says first, and what none of them holds.

use crate::exceptions::{Finding, check};
use crate::repository::{Text, texts};

/// Crates whose numbers are exact.
const EXACT: [&str; 4] =
    ["services/kernel/src", "services/scaling/src", "services/settlement/src", "services/storage/src"];

fn without_purpose(text: &Text) -> Option<Finding> {
    let first = text.content.lines().next().unwrap_or_default();
    let says = first.strip_prefix("//! ").unwrap_or_default();
    says.trim()
        .is_empty()
        .then(|| Finding::of(&text.path, "begin it with a line `//! …` that says what it is for"))
}

/// Whole words of a line of code.
fn words(line: &str) -> impl Iterator<Item = &str> {
    line.split(|letter: char| !letter.is_alphanumeric() && letter != '_')
}

fn floats(text: &Text) -> Vec<Finding> {
    let found = |(number, line)| {
        let float = words(line).find(|word| matches!(*word, "f32" | "f64") || ends_as_float(word))?;
        Some(Finding::at(
            &text.path,
            number,
            float,
            "binary floating point: use kernel::Exact or kernel::Fixed",
        ))
    };
    text.lines().filter_map(found).collect()
}

/// Whether a word is a number with the type behind it.
fn ends_as_float(word: &str) -> bool {
    word.starts_with(|letter: char| letter.is_ascii_digit())
        && (word.ends_with("f32") || word.ends_with("f64"))
}

fn globs(text: &Text) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut in_tests = text.is_test_code();
    let mut statement = String::new();
    for (number, line) in text.lines() {
        let code = line.trim();
        in_tests |= code == "#[cfg(test)]";
        let begins = ["use ", "pub use ", "pub(crate) use ", "pub(super) use "];
        if statement.is_empty() && !begins.iter().any(|begin| code.starts_with(begin)) {
            continue;
        }
        statement.push_str(code);
        if !code.ends_with(';') {
            continue;
        }
        let whole = std::mem::take(&mut statement);
        let allowed = whole.ends_with("prelude::*;") || in_tests && whole == "use super::*;";
        if whole.contains('*') && !allowed {
            findings.push(Finding::at(&text.path, number, &whole, "a glob import: name what is used"));
        }
    }
    findings
}

fn leftovers(text: &Text) -> Vec<Finding> {
    // Put together here, so that the list does not find itself.
    let marks = ["TO DO", "FIX ME", "X XX", "HA CK", "dbg !(", "to do!(", "unimplement ed!("];
    let marks = marks.map(|mark| mark.replace(' ', ""));
    let mut findings = Vec::new();
    for (number, line) in text.lines() {
        for mark in marks.iter().filter(|mark| line.contains(mark.as_str())) {
            findings.push(Finding::at(&text.path, number, mark, "a mark of unfinished work: finish it"));
        }
        if number == 1 && line.trim_end_matches('.') == concat!("//! To", " come") {
            findings.push(Finding::at(&text.path, number, "placeholder", "the module is not written yet"));
        }
    }
    findings
}

#[test]
fn every_module_says_what_it_is_for() {
    let findings: Vec<_> = texts().iter().filter(|text| text.is_rust()).filter_map(without_purpose).collect();
    check("purposes", &findings);
}

#[test]
fn exact_crates_know_no_floating_point() {
    let texts = texts();
    for folder in EXACT {
        assert!(texts.iter().any(|text| text.is_under(&[folder])), "there is nothing under {folder}");
    }
    check("floats", &texts.iter().filter(|text| text.is_under(&EXACT)).flat_map(floats).collect::<Vec<_>>());
}

#[test]
fn imports_name_what_is_used() {
    check("globs", &texts().iter().filter(|text| text.is_rust()).flat_map(globs).collect::<Vec<_>>());
}

#[test]
fn nothing_is_left_half_done() {
    let looked_at = |text: &&Text| text.path != "Cargo.lock";
    check("leftovers", &texts().iter().filter(looked_at).flat_map(leftovers).collect::<Vec<_>>());
}

#[test]
fn each_rule_sees_what_it_is_for() {
    let text = |content: &str| Text::new("services/a/src/b.rs", content);
    assert!(without_purpose(&text("//! What it is for.\n")).is_none());
    assert!(without_purpose(&text("use a::b;\n")).is_some());
    assert!(without_purpose(&text("//!\n//! Late.\n")).is_some());

    assert_eq!(floats(&text("let a: f64 = 1;\nlet b = 2_f32;\nlet c = 0xf3;\n")).len(), 2);

    assert_eq!(globs(&text("use a::*;\n")).len(), 1);
    assert_eq!(globs(&text("use a::{\n    b,\n    c::*,\n};\n")).len(), 1);
    assert_eq!(globs(&text("pub use a::*;\nuse super::*;\n")).len(), 2);
    assert!(globs(&text("use a::prelude::*;\n#[cfg(test)]\nmod tests {\n    use super::*;\n}\n")).is_empty());

    assert_eq!(leftovers(&text(concat!("// TO", "DO: more\n    db", "g!(a);\n"))).len(), 2);
    assert_eq!(leftovers(&text(concat!("//! To", " come.\n"))).len(), 1);
    assert!(leftovers(&text("//! To come to the yard.\n")).is_empty());
}
