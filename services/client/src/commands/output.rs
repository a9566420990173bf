//! Writing to standard output, and telling what went wrong.

use std::io::{self, Write};

use client::ClientError;
use serde::Serialize;
use serde_json::{Value, json};
use wire::Problem;

use super::colour;
use super::ending::Ending;

/// Writes a text to standard output.
///
/// A reader that has gone away is no fault, and no reason to stop half way: tickets are posted all the same, and the
/// status at the end still tells what became of them.
pub(crate) fn text(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written,
    }
}

/// Writes a value to standard output as one line of JSON.
pub(crate) fn json_line(value: &impl Serialize) -> io::Result<()> {
    let mut line = serde_json::to_string(value)?;
    line.push('\n');
    text(&line)
}

/// Writes one paper: as text, or as JSON.
pub(crate) fn paper<T: Serialize>(value: &T, json: bool, set: impl Fn(&T) -> String) -> io::Result<()> {
    if json { json_line(value) } else { text(&colour::paper(set(value))) }
}

/// Writes a list: as text, or as one JSON object a line.
pub(crate) fn list<T: Serialize>(found: &[T], json: bool, set: impl Fn(&[T]) -> String) -> io::Result<()> {
    if json { found.iter().try_for_each(json_line) } else { text(&set(found)) }
}

/// Writes one of two: a line of JSON for programs, or a text for people.
pub(crate) fn either(
    json: bool,
    for_programs: impl FnOnce() -> Value,
    for_people: impl FnOnce() -> String,
) -> io::Result<()> {
    if json { json_line(&for_programs()) } else { text(&for_people()) }
}

/// What a problem is to another program.
pub(crate) fn problem(error: &ClientError) -> Value {
    match error {
        ClientError::Refused(problem) => json!(problem),
        other => json!({"code": other.code(), "detail": other.to_string()}),
    }
}

/// What a refusal says for people: the problem, each wrong part on a line, what to do.
pub(crate) fn told(error: &ClientError) -> String {
    match error {
        ClientError::Refused(problem) => problem_told(problem),
        other => format!("{other}\n"),
    }
}

/// The same of a problem by itself.
pub(crate) fn problem_told(problem: &Problem) -> String {
    let mut told = format!("{}: {}\n", problem.code.text(), problem.detail);
    for part in &problem.errors {
        told.push_str(&format!("    {}: {}\n", part.pointer, part.detail));
    }
    told.push_str(&format!("    {}\n", problem.advice));
    if let Some(request) = &problem.request_id {
        told.push_str(&format!("    request {request}\n"));
    }
    told
}

/// Tells people of a refusal that does not end the command, on standard error.
pub(crate) fn told_of(error: &ClientError) -> io::Result<()> {
    io::stderr().lock().write_all(format!("{} {}", colour::blame(), told(error)).as_bytes())
}

/// Tells what ended the command: JSON on standard output for programs, text on standard error for people.
pub(crate) fn report(error: &anyhow::Error, json: bool) -> Ending {
    let from_service = error.downcast_ref::<ClientError>();
    if json {
        let problem = match from_service {
            Some(error) => problem(error),
            None => json!({"code": "local-fault", "detail": format!("{error:#}")}),
        };
        // When it cannot be written there is nobody left to tell.
        let _ = json_line(&json!({"problem": problem}));
    } else {
        let told = match from_service {
            Some(cause) if cause.to_string() == error.to_string() => told(cause),
            Some(cause) => format!("{error}: {}", told(cause)),
            None => format!("{error:#}\n"),
        };
        let _ = io::stderr().lock().write_all(format!("{} {told}", colour::blame()).as_bytes());
    }
    from_service.map_or(Ending::Fault, Ending::from)
}
