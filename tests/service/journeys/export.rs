//! The journal handed over: read back by small readers of the test's own, it is the same journal.

use serde_json::Value;
use tests::{Furnished, Inspector, TestApp};

use super::several_weeks::{cents, postings, several_weeks, whole_journal};

/// An entry as it is compared: id, day, postings.
pub type Entry = (String, String, Vec<(String, i64)>);

/// The journal in a form.
pub fn exported(outfit: &Furnished, query: &str) -> String {
    let reply = outfit.bookkeeper.get(&format!("/v1/journal/export?{query}"));
    assert_eq!(reply.status, 200, "{}", reply.text);
    let (kind, file) = if query.contains("format=csv") {
        ("text/csv; charset=utf-8; header=present", "journal.csv")
    } else {
        ("text/plain; charset=utf-8", "journal.txt")
    };
    assert_eq!(reply.header("content-type"), Some(kind));
    assert_eq!(
        reply.header("content-disposition"),
        Some(format!("attachment; filename=\"{file}\"").as_str())
    );
    assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
    reply.text
}

/// The journal as the list shows it, in the order of the days.
fn listed(outfit: &Furnished) -> Vec<Entry> {
    let text = |value: &Value| value.as_str().expect("a text").to_owned();
    let mut entries: Vec<_> = whole_journal(&outfit.bookkeeper, 500)
        .iter()
        .map(|one| (text(&one["journal_entry_id"]), text(&one["dated"]), postings(one)))
        .collect();
    entries.sort_by_key(|(id, dated, _)| (dated.clone(), id.clone()));
    entries
}

/// Reads plain-text double entry: a line that begins with a digit opens an entry, an indented one posts to it.
fn read_text(text: &str) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for line in text.lines() {
        if let Some(posting) = line.strip_prefix("    ") {
            let (title, amount) = posting.split_once("  ").expect("two blanks before the amount");
            let amount = amount.trim().strip_suffix(" USD").expect("a currency");
            let entry = entries.last_mut().expect("an entry");
            entry.2.push((title.to_owned(), cents(&Value::from(amount))));
        } else if line.starts_with(|first: char| first.is_ascii_digit()) {
            let (dated, rest) = line.split_once(" * (").expect("a day and a mark");
            let (id, _says) = rest.split_once(") ").expect("an id");
            entries.push((id.to_owned(), dated.to_owned(), Vec::new()));
        } else {
            assert!(line.is_empty() || line.starts_with("; "), "{line}");
        }
    }
    entries
}

/// Reads the rows.
fn read_rows(text: &str) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().expect("a head").clone();
    let place = |name: &str| head.iter().position(|one| one == name).expect("a column");
    let (entry, dated, account) = (place("entry"), place("dated"), place("account"));
    let (debit, credit, currency) = (place("debit"), place("credit"), place("currency"));
    for row in reader.records() {
        let row = row.expect("a row");
        let amount = match (&row[debit], &row[credit]) {
            (debit, "") => cents(&Value::from(debit)),
            ("", credit) => -cents(&Value::from(credit)),
            both => panic!("a debit or a credit: {both:?}"),
        };
        assert_eq!(&row[currency], "USD");
        if entries.last().is_none_or(|(id, ..)| *id != row[entry]) {
            entries.push((row[entry].to_owned(), row[dated].to_owned(), Vec::new()));
        }
        entries.last_mut().expect("an entry").2.push((row[account].to_owned(), amount));
    }
    entries
}

#[test]
fn both_forms_hold_the_same_postings_as_the_list() {
    let app = TestApp::start();
    for seed in 20..23 {
        let outfit = several_weeks(&app, seed);
        let listed = listed(&outfit);
        assert_eq!(read_text(&exported(&outfit, "format=text")), listed);
        assert_eq!(read_rows(&exported(&outfit, "format=csv")), listed);
        let within = |entry: &&Entry| ("2026-06-10"..="2026-06-20").contains(&entry.1.as_str());
        let part: Vec<_> = listed.iter().filter(within).cloned().collect();
        assert_eq!(part.len(), 2);
        assert_eq!(read_text(&exported(&outfit, "format=text&from=2026-06-10&to=2026-06-20")), part);
        assert_eq!(read_rows(&exported(&outfit, "format=csv&from=2026-06-10&to=2026-06-20")), part);
    }
}

#[test]
fn a_span_without_entries_is_a_head_and_nothing_else() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 23);
    let rows = exported(&outfit, "format=csv&from=2026-12-31&to=2027-01-01");
    let head = "entry,dated,says,posting,account,debit,credit,currency,recorded_by,recorded_at\r\n";
    assert_eq!(rows, head);
    let text = exported(&outfit, "format=text&from=2026-12-31&to=2027-01-01");
    assert!(text.lines().all(|line| line.starts_with("; ")), "{text}");
}

/// Names and remarks that would end a cell, a line or an account early, or be taken for a formula.
pub const HOSTILE: [&str; 8] = [
    "=HYPERLINK(\"a\",\"b\")",
    "Lind: Otto; hewer",
    "two  blanks  within",
    "@ 5 USD {x} [2026-01-01]",
    "+1, \"quoted\"",
    "100% #1",
    "hard\u{a0}\u{a0}blanks",
    "(in brackets) * ! %3A",
];

/// Files workers of hostile names and writes an entry of every kind of account for each, past the service, and another
/// that takes it back; answers with how many entries that makes.
pub fn write_hostile_entries(app: &TestApp, outfit: &Furnished) -> usize {
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let mut written = 0;
    for name in HOSTILE {
        let worker = outfit.manager.post("/v1/workers", &serde_json::json!({"name": name})).expect(201);
        let worker = worker["worker_id"].as_str().expect("an id");
        for sign in [1, -1] {
            written += 1;
            let id = format!("01977000-0000-7000-8000-{written:012}");
            let (outfit, mill) = (outfit.outfit, &outfit.mill_id);
            let says = format!("{name} and so on").replace('\'', "''");
            let posting = |position: u8, columns: &str, values: &str, amount: i64| {
                format!(
                    "INSERT INTO journal_posting (outfit_id, journal_entry_id, position, account, {columns}amount_minor) \
                     VALUES ('{outfit}', '{id}', {position}, {values}{});",
                    sign * amount
                )
            };
            let entry = format!(
                "INSERT INTO journal_entry VALUES ('{outfit}', '{id}', '2026-06-30', '{says}', now(), '{says}');"
            );
            let statements = [
                entry,
                posting(1, "detail, ", "'wage_expense', 'rest_pay', ", 730),
                posting(2, "worker_id, ", &format!("'payable_to_worker', '{worker}', "), 270),
                posting(3, "worker_id, ", &format!("'holdback_payable', '{worker}', "), -120),
                posting(4, "worker_id, ", &format!("'advance_to_worker', '{worker}', "), 2_000),
                posting(5, "detail, ", "'charges_recovered', 'board', ", -350),
                posting(6, "mill_id, ", &format!("'receivable_from_mill', '{mill}', "), -1_000_000_099),
                posting(7, "", "'cash', ", 999_997_569),
            ];
            let _none = database.ask(&statements.concat());
        }
    }
    written
}

#[test]
fn hostile_names_break_neither_form() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 29);
    let written = write_hostile_entries(&app, &outfit);
    let listed = listed(&outfit);
    assert_eq!(listed.len(), written + 4);
    assert_eq!(read_text(&exported(&outfit, "format=text")), listed);
    let rows = exported(&outfit, "format=csv");
    assert_eq!(read_rows(&rows), listed);
    // No cell is taken for a formula, and none was lost by that.
    let mut reader = csv::Reader::from_reader(rows.as_bytes());
    let cells: Vec<String> = reader
        .records()
        .flat_map(|row| row.expect("a row").iter().map(str::to_owned).collect::<Vec<_>>())
        .collect();
    assert!(cells.iter().all(|cell| !cell.starts_with(['=', '+', '-', '@', '\t', '\r'])));
    for name in HOSTILE {
        let says = format!("{name} and so on");
        assert!(cells.contains(&says) || cells.contains(&format!("'{says}")), "{says}");
    }
    // Each worker has accounts of his own.
    let balances = outfit.bookkeeper.get("/v1/balances?on=2026-06-30").expect(200);
    let named = balances["items"].as_array().expect("items").iter();
    let found: Vec<_> = named.filter_map(|one| one["payee"]["name"].as_str()).collect();
    let titles: std::collections::BTreeSet<_> = listed
        .iter()
        .flat_map(|(.., postings)| postings)
        .filter(|(title, _)| title.starts_with("Assets:Advances:"))
        .collect();
    assert!(HOSTILE.iter().all(|name| found.contains(name)), "{found:?}");
    assert_eq!(titles.len(), 2 * HOSTILE.len(), "a debit and a credit each");
}

/// What is handed out, held back and taken back is in the balances while it stands, and cancels to the cent.
#[test]
fn what_stands_beside_the_balance() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 31);
    let database = Inspector::connect(&app.database.url());
    let owed = |day: &str| outfit.bookkeeper.get(&format!("/v1/balances?on={day}")).expect(200);
    let before = owed("2026-06-30");
    let _written = write_hostile_entries(&app, &outfit);
    database.open_books_of(outfit.outfit);
    let after = owed("2026-06-30");
    for sum in ["owed_to_workers", "held_back", "advances", "owed_by_mills"] {
        assert_eq!(before[sum], after[sum], "{sum}");
    }
    // One that is not taken back.
    let worker =
        after["items"].as_array().expect("items").iter().find(|one| one["payee"]["name"] == HOSTILE[0]);
    let worker = worker.expect("he is there")["payee"]["worker_id"].as_str().expect("an id").to_owned();
    let (id, book) = ("01977000-0000-7000-8000-999999999999", outfit.outfit);
    let _none = database.ask(&format!(
        "INSERT INTO journal_entry VALUES ('{book}', '{id}', '2026-07-03', 'advance', now(), 'test');
         INSERT INTO journal_posting (outfit_id, journal_entry_id, position, account, worker_id, amount_minor) VALUES
         ('{book}', '{id}', 1, 'payable_to_worker', '{worker}', 100),
         ('{book}', '{id}', 2, 'holdback_payable', '{worker}', -300),
         ('{book}', '{id}', 3, 'advance_to_worker', '{worker}', 200);"
    ));
    let find = |all: &Value| {
        let mut items = all["items"].as_array().expect("items").iter();
        items.find(|one| one["payee"]["worker_id"] == worker.as_str()).cloned().expect("he is there")
    };
    let (earlier, later) = (find(&owed("2026-07-02")), find(&owed("2026-07-03")));
    assert_eq!((cents(&earlier["balance"]), cents(&later["balance"])), (0, -100));
    assert_eq!((cents(&earlier["held_back"]), cents(&later["held_back"])), (0, 300));
    assert_eq!((cents(&earlier["advances"]), cents(&later["advances"])), (0, 200));
}
