//! The very statements that the service sends for a ticket, as the server's own log has them, made into a script for
//! pgbench that adds another ticket each time.

use std::collections::BTreeSet;

use anyhow::{Context as _, Result, ensure};

use super::pgbench::Script;
use crate::frame::database::Database;

/// A statement with its parameters, as it was logged.
struct Statement {
    text: String,
    parameters: Vec<String>,
}

/// What stands in the recorded text where every transaction has a number of its own, of twelve digits.
const EACH: &str = "nnnnnnnnnnnn";

/// Has `post` done twice, and makes a script of what the service sent to the server the second time. What tells the first
/// time from the second beside ids are numbers in the scale book: these ones, and others of as many digits.
pub async fn script<Answer: Future<Output = Result<()>>>(
    database: &Database,
    post: impl Fn(Vec<u32>) -> Answer,
    numbers: [Vec<u32>; 2],
) -> Result<Script> {
    let mut logs = Vec::new();
    for numbers in &numbers {
        let from = database.log()?.len();
        database.log_statements(true)?;
        post(numbers.clone()).await?;
        database.log_statements(false)?;
        logs.push(statements(database.log()?.get(from..).context("the server's log was cut")?)?);
    }
    let (Some(first), Some(second)) = (logs.first(), logs.get(1)) else {
        anyhow::bail!("nothing was recorded")
    };
    let all = |statements: &[Statement]| -> BTreeSet<String> {
        statements.iter().flat_map(|one| &one.parameters).flat_map(|text| ids(text)).collect()
    };
    let fresh: Vec<String> = all(second).difference(&all(first)).cloned().collect();
    let [_, numbers] = numbers;
    let written: Vec<_> = second.iter().map(|one| one.written(&fresh, &numbers)).collect::<Result<_>>()?;
    // pgbench prepares each statement by itself, so what the service sends in one message goes in one pipeline.
    Script::new(&pipelined(&written))
}

/// Statements that the service sends together are sent together: those that open the transaction with those that read what the
/// tickets stand on, and those that write with the commit.
fn pipelined(statements: &[String]) -> String {
    let parts = |statement: &String| -> Vec<String> {
        // Only what begins is several in one text.
        match statement.starts_with("BEGIN") {
            true => statement.split(';').map(|part| part.trim().to_owned()).collect(),
            false => vec![statement.trim().to_owned()],
        }
    };
    let writes = statements.iter().position(|statement| statement.contains("INSERT INTO ticket"));
    let (before, after) = statements.split_at(writes.unwrap_or_default());
    [before, after]
        .map(|together| {
            let text: Vec<_> = together.iter().flat_map(parts).collect();
            format!("\\startpipeline\n{};\n\\endpipeline\n", text.join(";\n"))
        })
        .concat()
}

/// What one connection sent from the beginning to the end of the transaction that added a ticket.
fn statements(log: &str) -> Result<Vec<Statement>> {
    let entries = entries(log);
    let adding = entries.iter().find(|(_, text)| text.contains("INSERT INTO ticket"));
    let (connection, _) = adding.context("the log has no ticket that was added")?;
    let mut found: Vec<Statement> = Vec::new();
    // The parameters of a statement are told twice, when they are bound and when it is executed.
    let mut executed = false;
    for (from, text) in &entries {
        if from != connection {
            continue;
        }
        let said = ["statement: ", "execute "].iter().find_map(|kind| {
            text.split_once(kind).filter(|(before, _)| before.ends_with("ms  ") || before.ends_with("LOG:  "))
        });
        if let Some((_, said)) = said {
            // After `execute` comes the name of the prepared statement.
            let said = if text.contains("  execute ") {
                said.split_once(": ").map_or(said, |(_, text)| text)
            } else {
                said
            };
            found.push(Statement { text: said.to_owned(), parameters: Vec::new() });
            executed = true;
        } else if !text.starts_with("DETAIL") {
            executed = false;
        } else if executed
            && let Some((_, list)) = text.split_once("parameters: ")
            && let Some(last) = found.last_mut()
        {
            last.parameters = parameters(list);
        }
    }
    let place = |what: &str| found.iter().position(|one| one.text.contains(what));
    let adding = place("INSERT INTO ticket").context("no ticket was added")?;
    let begin =
        found.iter().take(adding).rposition(|one| one.text.starts_with("BEGIN")).context("no beginning")?;
    let end =
        found.iter().skip(adding).position(|one| one.text.starts_with("COMMIT")).context("no end")? + adding;
    found.truncate(end + 1);
    Ok(found.split_off(begin))
}

/// The log's entries: the connection, and the text with its further lines.
fn entries(log: &str) -> Vec<(String, String)> {
    let mut entries: Vec<(String, String)> = Vec::new();
    for line in log.lines() {
        let head = line.split_once(" [").and_then(|(_, rest)| rest.split_once("] "));
        match head.filter(|(connection, _)| connection.bytes().all(|byte| byte.is_ascii_digit())) {
            Some((connection, text)) => entries.push((connection.to_owned(), text.to_owned())),
            None => {
                if let Some((_, text)) = entries.last_mut() {
                    text.push('\n');
                    text.push_str(line.trim_start_matches('\t'));
                }
            }
        }
    }
    entries
}

/// The parameters of `$1 = 'it''s', $2 = NULL`, each as a literal.
fn parameters(list: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = list;
    while let Some((_, value)) = rest.split_once(" = ") {
        let length = match value.strip_prefix('\'') {
            None => value.find(',').unwrap_or(value.len()),
            Some(inside) => {
                let mut letters = inside.char_indices().peekable();
                let mut end = inside.len();
                while let Some((at, letter)) = letters.next() {
                    if letter == '\'' && letters.next_if(|(_, next)| *next == '\'').is_none() {
                        end = at;
                        break;
                    }
                }
                end + 2
            }
        };
        let (literal, after) = value.split_at_checked(length).unwrap_or((value, ""));
        found.push(literal.trim().to_owned());
        rest = after;
    }
    found
}

/// The ids in a literal.
fn ids(literal: &str) -> Vec<String> {
    let parts = literal.split(|letter: char| !letter.is_ascii_hexdigit() && letter != '-');
    let id = |part: &&str| part.len() == 36 && part.matches('-').count() == 4;
    parts.filter(id).map(str::to_owned).collect()
}

impl Statement {
    /// With its parameters in place; ids that were new, and the numbers, are others in every transaction.
    fn written(&self, fresh: &[String], numbers: &[u32]) -> Result<String> {
        let places = self.text.matches('$').count();
        ensure!(places == 0 || !self.parameters.is_empty(), "parameters were not logged: {}", self.text);
        let mut text = self.text.clone();
        // From the last, since $1 is the beginning of $10.
        for (place, parameter) in self.parameters.iter().enumerate().rev() {
            let mut literal = parameter.clone();
            for id in ids(parameter) {
                if let Ok(kind) = fresh.binary_search(&id) {
                    literal = literal.replace(&id, &format!("01970000-{kind:04}-7000-8000-{EACH}"));
                }
            }
            for (place, number) in numbers.iter().enumerate() {
                literal = literal.replace(&number.to_string(), &format!("{EACH}{place:02}"));
            }
            if literal.contains(EACH) {
                literal = format!("replace({literal}, '{EACH}', (:n)::text)");
            }
            text = text.replace(&format!("${}", place + 1), &format!("({literal})"));
        }
        Ok(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ID: &str = "0197b3f0-0000-7000-8000-000000000001";

    #[test]
    fn a_transaction_is_found_in_the_log() {
        let log = "2026-01-01 00:00:00.000 GMT [7] LOG:  duration: 0.1 ms  statement: BEGIN; SET LOCAL a = 'b'\n\
                   2026-01-01 00:00:00.000 GMT [9] LOG:  duration: 0.1 ms  statement: BEGIN\n\
                   2026-01-01 00:00:00.000 GMT [7] LOG:  duration: 0.1 ms  bind s3: INSERT INTO ticket\n\
                   2026-01-01 00:00:00.000 GMT [7] DETAIL:  parameters: $1 = 'bound'\n\
                   2026-01-01 00:00:00.000 GMT [7] LOG:  duration: 0.1 ms  execute s3: INSERT INTO ticket\n\
                   \tSELECT $1, $2\n\
                   2026-01-01 00:00:00.000 GMT [7] DETAIL:  parameters: $1 = '{\"it''s, so\"}', $2 = NULL\n\
                   2026-01-01 00:00:00.000 GMT [7] LOG:  duration: 0.1 ms  statement: COMMIT\n";
        let found = statements(log).expect("it is there");
        let texts: Vec<_> = found.iter().map(|one| one.text.as_str()).collect();
        assert_eq!(texts, ["BEGIN; SET LOCAL a = 'b'", "INSERT INTO ticket\nSELECT $1, $2", "COMMIT"]);
        let adding = found.get(1).expect("it was added");
        assert_eq!(adding.parameters, ["'{\"it''s, so\"}'", "NULL"]);
        assert_eq!(
            adding.written(&[], &[]).expect("all is there"),
            "INSERT INTO ticket\nSELECT ('{\"it''s, so\"}'), (NULL)"
        );
    }

    #[test]
    fn new_ids_and_the_number_are_others_each_time() {
        let parameters = vec![format!("'{{{ID}}}'"), "'{17}'".to_owned()];
        let statement = Statement { text: "SELECT $1::uuid[], $2::bigint[]".to_owned(), parameters };
        assert_eq!(
            statement.written(&[ID.to_owned()], &[17]).expect("all is there"),
            "SELECT (replace('{01970000-0000-7000-8000-nnnnnnnnnnnn}', 'nnnnnnnnnnnn', (:n)::text))::uuid[], \
             (replace('{nnnnnnnnnnnn00}', 'nnnnnnnnnnnn', (:n)::text))::bigint[]"
        );
    }
}
