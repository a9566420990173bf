//! Bulk import: stopped and killed at any point, and all tickets are there once.

use std::time::Duration;

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Role;

use crate::machine::Machine;

fn lines(outfit: &Furnished, count: u32) -> String {
    (1..=count)
        .map(|number| format!("{}\n", ticket(outfit, number, "2026-06-02", &[log("12", "16")])))
        .collect()
}

/// How often each number of book A is in the books.
fn numbers(outfit: &Furnished) -> Vec<u64> {
    let mut numbers = Vec::new();
    let mut path = "/v1/tickets?pieces=none&limit=500".to_owned();
    loop {
        let page = outfit.bookkeeper.get(&path).expect(200);
        let tickets = page["items"].as_array().expect("tickets");
        numbers.extend(tickets.iter().filter_map(|one| one["ticket"]["number"].as_u64()));
        let Some(next) = page["next"].as_str() else { break };
        path = format!("/v1/tickets?pieces=none&limit=500&after={next}");
    }
    numbers.sort_unstable();
    numbers
}

fn events(out: &str) -> Vec<Value> {
    out.lines().map(|line| serde_json::from_str(line).expect("one object a line")).collect()
}

#[test]
fn refused_rows_are_written_beside_mended_and_imported_again() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let mut bad = ticket(&outfit, 3, "2026-06-02", &[log("12", "16")]);
    bad["pieces"][0]["length_ft"] = json!("-16");
    let good = lines(&outfit, 5);
    let mut rows: Vec<String> = good.lines().map(str::to_owned).collect();
    rows[2] = bad.to_string();
    rows.insert(1, "{\"book\": \"A\", ".to_owned());
    rows.insert(0, String::new());
    let file = machine.write("june.jsonl", &(rows.join("\r\n") + "\n"));
    let run = machine.run(&["import", &file, "--portion", "2", "--json"]);
    assert_eq!(run.status, 3, "{run:?}");
    let told = events(&run.out);
    assert_eq!(told[0]["event"], "begun");
    let refused: Vec<_> =
        told.iter().filter(|one| one["event"] == "refused").map(|one| &one["row"]).collect();
    assert_eq!(refused, [3, 5], "{told:#?}");
    let last = told.last().expect("an end");
    assert_eq!(
        (&last["event"], &last["accepted"], &last["refused"]),
        (&json!("finished"), &json!(4), &json!(2))
    );
    let reasons = std::fs::read_to_string(machine.file("june.refused.txt")).expect("reasons");
    assert!(reasons.contains("row 3: not-json") && reasons.contains("row 5: "), "{reasons}");

    // The file of rows can be imported as it is, once mended.
    let beside = std::fs::read_to_string(machine.file("june.refused.jsonl")).expect("rows");
    assert_eq!(beside.lines().count(), 2);
    let mended = good.lines().nth(2).expect("the third").to_owned() + "\n";
    machine.write("june.refused.jsonl", &mended);
    let again = machine.run(&["import", "june.refused.jsonl", "june.jsonl"]);
    assert!(again.out.contains("1 tickets accepted, 0 there already"), "{again:?}");
    assert!(
        again.out.contains("0 tickets accepted, 5 there already, 1 refused")
            || again.out.contains("0 tickets accepted, 4 there already, 2 refused"),
        "{again:?}"
    );
    assert_eq!(numbers(&outfit), [1, 2, 3, 4, 5]);
    // What somebody was mending is never written over.
    assert_eq!(std::fs::read_to_string(machine.file("june.refused.jsonl")).expect("rows"), mended);
    assert!(machine.file("june.refused-2.jsonl").exists());
}

#[test]
fn killed_at_random_points_and_resumed_all_tickets_are_there_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let count = 240;
    let mut text = lines(&outfit, count);
    text.push_str("{}\n");
    let file = machine.write("big.jsonl", &text);
    let mut killed = 0;
    for round in 0..25_u64 {
        let mut child = machine.start(&["import", &file, "--portion", "20", "--json"]);
        // Anywhere: while the file is read, while a portion is under way, between answer and writing it down.
        std::thread::sleep(Duration::from_millis(30 + round.wrapping_mul(0x9E37_79B9) % 190));
        match child.try_wait().expect("it can be waited for") {
            Some(_) => {
                break;
            }
            None => {
                child.kill().expect("it can be killed");
                let _status = child.wait().expect("it ends");
                killed += 1;
            }
        }
    }
    assert!(killed > 2, "it was never killed half way");
    let run = machine.run(&["import", &file, "--portion", "20", "--json"]);
    assert_eq!(run.status, 3, "{run:?}");
    let expected: Vec<u64> = (1..=u64::from(count)).collect();
    assert_eq!(numbers(&outfit), expected);
    let beside = std::fs::read_dir(machine.file("")).expect("a directory").filter_map(Result::ok);
    for path in beside.map(|entry| entry.path()).filter(|path| path.to_string_lossy().contains("refused")) {
        if path.extension().is_some_and(|extension| extension == "jsonl") {
            assert_eq!(std::fs::read_to_string(&path).expect("rows"), "{}\n", "{}", path.display());
        }
    }
}

#[test]
fn stopped_by_ctrl_c_it_ends_after_the_portion_and_goes_on_from_there() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let count = 600;
    let file = machine.write("big.jsonl", &lines(&outfit, count));
    let mut terminal = machine.terminal(60, &["import", &file, "--portion", "10"]);
    terminal.wait_for("left");
    assert!(terminal.screen().contains("/600 rows"), "{}", terminal.screen().trim_end());
    assert!(terminal.screen().lines().all(|line| line.chars().count() <= 60));
    terminal.type_line("\u{3}");
    assert_eq!(terminal.end(), 6);
    let screen = terminal.screen();
    assert!(screen.contains("Import the same file again"), "{}", screen.trim_end());
    let before = numbers(&outfit).len();
    assert!((10..600).contains(&before), "{before}");
    let run = machine.run(&["import", &file, "--json"]);
    assert_eq!(run.status, 0, "{run:?}");
    let begun = &events(&run.out)[0]["at_row"];
    assert_eq!(begun.as_u64(), Some(before.try_into().expect("few")), "it goes on where it stopped");
    assert_eq!(numbers(&outfit), (1..=u64::from(count)).collect::<Vec<_>>());
}

#[test]
fn progress_that_the_books_do_not_know_of_is_not_gone_on_from() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let others = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let file = machine.write("big.jsonl", &lines(&others, 40));
    // A portion is done; then the program is killed before the next.
    let elsewhere = Machine::with_token(&app, &others, Role::Bookkeeper);
    let copy = elsewhere.write("big.jsonl", &lines(&others, 40));
    let run = elsewhere.run(&["import", &copy]);
    assert!(run.out.contains("40 tickets accepted"), "{run:?}");
    // Another outfit's books refuse them all: nothing there is taken for done.
    let refused = machine.run(&["import", &file, "--portion", "10"]);
    assert!(refused.out.contains("0 tickets accepted, 0 there already, 40 refused"), "{refused:?}");
    assert!(numbers(&outfit).is_empty());
}

#[test]
fn a_sheet_is_imported_by_whole_tickets_and_faults_are_told_by_its_own_rows() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let mut sheet =
        "book,number,job,landing,scaled_on,scaler,product,species,small_diameter_in.1,length_ft,remarks\n"
            .to_owned();
    for number in 1..=30 {
        let length = if number == 17 { "long" } else { "16" };
        sheet.push_str(&format!(
            "A,{number},Invented tract,North landing,2026-06-02,Yard scaler,log,white pine,12,16,\"wet, cold\"\n\
             ,,,,,,log,white pine,14,{length},\n"
        ));
    }
    let file = machine.write("june.csv", &sheet);
    let run = machine.run(&["import", &file, "--portion", "4", "--json"]);
    assert_eq!(run.status, 3, "{run:?}");
    let told = events(&run.out);
    let refused: Vec<_> = told.iter().filter(|one| one["event"] == "refused").collect();
    assert_eq!(refused.len(), 1, "{told:#?}");
    // Ticket 17 begins on row 34, where the header is row 1; the fault is on the row after.
    assert_eq!(refused[0]["row"], 34);
    assert!(refused[0].to_string().contains("#cell=35,10"), "{:#}", refused[0]);
    let beside = std::fs::read_to_string(machine.file("june.refused.csv")).expect("rows");
    assert_eq!(beside.lines().count(), 3, "{beside}");
    machine.write("june.refused.csv", &beside.replace("long", "16"));
    assert!(machine.run(&["import", "june.refused.csv"]).ends(0).contains("1 tickets accepted"));
    assert_eq!(numbers(&outfit), (1..=30).collect::<Vec<u64>>());
    let tickets = outfit.bookkeeper.get("/v1/tickets?pieces=none").expect(200);
    assert!(tickets["items"].as_array().expect("tickets").iter().all(|one| one["piece_count"] == 2));
}
