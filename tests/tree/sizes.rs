//! How long files and functions may be.

use crate::exceptions::{Finding, check};
use crate::repository::{Text, texts};

/// Lines of a file of the product.
const PRODUCT_FILE: usize = 500;
/// Lines of a file of tests.
const TEST_FILE: usize = 800;
/// Lines between the braces of a function.
const FUNCTION: usize = 70;

fn long_files(texts: &[Text]) -> Vec<Finding> {
    let judge = |text: &Text| {
        let most = if text.is_test_code() { TEST_FILE } else { PRODUCT_FILE };
        let lines = text.content.lines().count();
        (lines > most).then(|| {
            Finding::of(&text.path, format!("{lines} lines, at most {most}: divide it by what it is about"))
        })
    };
    texts.iter().filter(|text| text.is_rust()).filter_map(judge).collect()
}

/// Functions in the layout of rustfmt: what opens at one indentation closes at the same.
fn long_functions(text: &Text) -> Vec<Finding> {
    let lines: Vec<_> = text.lines().collect();
    let mut findings = Vec::new();
    for (start, (number, line)) in lines.iter().enumerate() {
        let Some(name) = function_name(line) else { continue };
        let indentation = line.len() - line.trim_start().len();
        let at_same = |line: &str| line.len() - line.trim_start().len() == indentation;
        let mut rest = lines.iter().skip(start).filter(|(_, line)| !line.trim().is_empty() && at_same(line));
        // The signature may run over several lines; the last of them opens the body or ends a declaration.
        let opened = rest.by_ref().find(|(_, line)| line.ends_with(['{', ';', '}']));
        let Some((opened, _)) = opened.filter(|(_, line)| line.ends_with('{')) else { continue };
        let Some((closed, _)) = rest.find(|(_, line)| line.trim() == "}") else { continue };
        let body = closed - opened - 1;
        if body > FUNCTION {
            let says = format!("`{name}` has {body} lines, at most {FUNCTION}: give its steps names");
            findings.push(Finding::at(&text.path, *number, &name, says));
        }
    }
    findings
}

fn function_name(line: &str) -> Option<String> {
    let mut words = line.split_whitespace();
    let before = ["pub", "pub(crate)", "pub(super)", "const", "async", "extern", "\"C\""];
    let word = words.by_ref().find(|word| !before.contains(word))?;
    let name = (word == "fn").then(|| words.next()).flatten()?;
    name.split(['(', '<']).next().map(str::to_owned)
}

#[test]
fn files_are_short_enough_to_read() {
    check("file_lengths", &long_files(&texts()));
}

#[test]
fn functions_fit_on_a_screen() {
    let findings: Vec<_> = texts().iter().filter(|text| text.is_rust()).flat_map(long_functions).collect();
    check("function_lengths", &findings);
}

#[test]
fn a_line_too_many_is_seen() {
    let file = |path, lines: usize| long_files(&[Text::new(path, &"x\n".repeat(lines))]).len();
    assert_eq!((file("services/a/src/b.rs", 500), file("services/a/src/b.rs", 501)), (0, 1));
    assert_eq!((file("tests/a/b.rs", 800), file("services/a/tests/b.rs", 801)), (0, 1));
    let function = |lines: usize| {
        let body = "        x();\n".repeat(lines);
        let content = format!(
            "impl A {{\n    fn short() {{}}\n\n    fn declared(\n        a: A,\n    );\n\n    \
             pub async fn long(\n        a: A,\n    ) -> B {{\n{body}    }}\n}}\n"
        );
        long_functions(&Text::new("a.rs", &content))
    };
    assert!(function(70).is_empty());
    assert_eq!(function(71).first().map(|finding| finding.key.as_str()), Some("a.rs long"));
}
