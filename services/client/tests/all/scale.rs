//! `skid scale` as other programs run it: one JSON object a line in, one a line out.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

use crate::golden;

fn skid(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_skid"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    let writer = std::thread::spawn(move || stdin.write_all(&input));
    let output = child.wait_with_output().unwrap();
    let _ = writer.join();
    output
}

fn answers(output: &Output) -> Vec<Value> {
    let text = std::str::from_utf8(&output.stdout).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn one(request: &str) -> (Value, Option<i32>) {
    let output = skid(&["scale"], request.as_bytes());
    let mut answers = answers(&output);
    assert_eq!(answers.len(), 1);
    (answers.remove(0), output.status.code())
}

#[test]
fn the_fixed_examples() {
    // Doyle: (20 - 4)² × 16 ÷ 16. Smalian: the mean of the end areas times the length. Board measure: 12 × 10 × 24 ÷ 12.
    for (request, gross, unit) in [
        (r#"{"rule": "doyle", "diameter_in": "20", "length_ft": "16"}"#, "256", "board_foot"),
        (
            r#"{"rule": "smalian", "small_diameter_in": "12", "large_diameter_in": "16", "length_ft": "16"}"#,
            "17.4528",
            "cubic_foot",
        ),
        (
            r#"{"rule": "board-measure", "width_in": "12", "thickness_in": "10", "length_ft": "24"}"#,
            "240",
            "board_foot",
        ),
        (r#"{"rule": "huber", "diameter_cm": "40", "length_m": "5"}"#, "0.62832", "cubic_metre"),
    ] {
        let (answer, status) = one(request);
        assert_eq!(answer["gross"], gross, "{request}");
        assert_eq!(answer["net"], gross);
        assert_eq!(answer["unit"], unit);
        assert_eq!(answer.get("working"), None);
        assert_eq!(status, Some(0));
    }
}

#[test]
fn defects_are_an_array_and_lower_the_net() {
    let (answer, status) = one(r#"{"rule": "doyle", "diameter_in": "20", "length_ft": "16", "defects": [
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"},
            {"kind": "break", "method": "length_cut", "length_ft": "2"}]}"#
        .replace('\n', " ")
        .as_str());
    assert_eq!(status, Some(0));
    assert_eq!(answer["gross"], "256");
    let number = |member: &str| answer[member].as_str().unwrap().parse::<kernel::Exact>().unwrap();
    assert!(number("net") < number("gross"));
    assert_eq!(number("gross").minus(number("deduction")).unwrap(), number("net"));
}

#[test]
fn problems_stand_in_place_and_the_rest_goes_on() {
    let input = golden::read("scale/requests.jsonl");
    for (arguments, file) in [
        (&["scale"][..], "scale/answers.jsonl"),
        (&["scale", "--working"], "scale/answers_with_working.jsonl"),
        (&["scale", "--plain"], "scale/answers_plain.txt"),
    ] {
        let output = skid(arguments, input.as_bytes());
        golden::check(file, std::str::from_utf8(&output.stdout).unwrap());
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(output.stderr, b"");
    }
    let answered = answers(&skid(&["scale"], input.as_bytes()));
    let requests = input.lines().filter(|line| !line.trim().is_empty()).count();
    assert_eq!(answered.len(), requests);
    let codes: Vec<_> = answered.iter().filter_map(|answer| answer["problem"]["code"].as_str()).collect();
    assert_eq!(
        codes,
        [
            "not-json",
            "wrong-form",
            "wrong-form",
            "wrong-form",
            "outside-the-rule",
            "missing-measurement",
            "wrong-form"
        ]
    );
    for answer in &answered {
        let problem = answer.get("problem").is_some();
        assert_ne!(problem, answer.get("gross").is_some());
        assert_eq!(problem, answer["problem"]["line"].is_u64());
    }
}

#[test]
fn only_an_object_is_a_stick() {
    // Sizes by their place in an array would be a guess at what they are.
    let positional = r#"["doyle", "20", null, null, null, null, null, null, null, "16"]"#;
    for line in [positional, "17", "null", r#""doyle""#] {
        let (answer, status) = one(line);
        assert_eq!(answer["problem"]["code"], "wrong-form", "{line}");
        assert!(answer["problem"]["detail"].as_str().unwrap().contains("object"), "{answer}");
        assert_eq!(status, Some(2));
    }
    assert_eq!(one("doyle 20 16").0["problem"]["code"], "not-json");
}

#[test]
fn bytes_that_are_no_text_and_endless_lines_are_problems_like_others() {
    let good = br#"{"rule": "doyle", "diameter_in": "20", "length_ft": "16"}"#;
    let mut input = b"\xFF\xFE{}\n".to_vec();
    input.extend_from_slice(b"{\"label\": \"");
    input.extend(std::iter::repeat_n(b'x', 3 * 1024 * 1024));
    input.extend_from_slice(b"\"}\n");
    input.extend_from_slice(good);
    let output = skid(&["scale"], &input);
    let answers = answers(&output);
    assert_eq!(answers.len(), 3);
    assert_eq!(answers[0]["problem"]["code"], "not-utf-8");
    assert_eq!(answers[1]["problem"]["code"], "line-too-long");
    assert_eq!(answers[2]["gross"], "256");
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn each_answer_is_there_before_the_next_line_is_asked() {
    use std::io::{BufRead, BufReader};
    let mut child = Command::new(env!("CARGO_BIN_EXE_skid"))
        .arg("scale")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let mut stdout = BufReader::new(child.stdout.take().unwrap());
    for diameter in ["20", "12", "28"] {
        writeln!(
            stdin,
            r#"{{"rule": "doyle", "diameter_in": "{diameter}", "length_ft": "16", "label": "{diameter}"}}"#
        )
        .unwrap();
        let mut answer = String::new();
        stdout.read_line(&mut answer).unwrap();
        assert_eq!(serde_json::from_str::<Value>(&answer).unwrap()["label"], diameter);
    }
    drop(stdin);
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn a_reader_that_has_read_enough_is_no_fault() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_skid"))
        .arg("scale")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut stdin = child.stdin.take().unwrap();
    let _ = stdin.write_all(b"{\"rule\": \"doyle\", \"diameter_in\": \"20\", \"length_ft\": \"16\"}\n");
    drop(stdin);
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
}

#[test]
fn wrong_usage_ends_with_one_and_help_with_nought() {
    for (arguments, status) in [
        (&["scale", "--plain", "--json"][..], 1),
        (&["scale", "--loud"], 1),
        (&[], 1),
        (&["--help"], 0),
        (&["--version"], 0),
    ] {
        assert_eq!(skid(arguments, b"").status.code(), Some(status), "{arguments:?}");
    }
    let help = skid(&["--help"], b"");
    let text = std::str::from_utf8(&help.stdout).unwrap();
    for says in ["0  done", "1  wrong usage", "2  some lines", "3  refused", "4  the service"] {
        assert!(text.contains(says), "{says}");
    }
}
