//! Explanations: where each piece's pay stands in every state it can be in, and one payee's line from the top.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};
use wire::{Code, Role};

use crate::world::{pole, text};

/// A line that counted something or took it back: (event, settled week, line).
type Event = (String, String, i64);
/// What is said of a rate: (state, week that can settle it, quantity, exact money, lines).
type Told = (String, Value, String, String, Vec<Event>);

/// What is said of a piece for a task under every rate that counts it or once did.
fn rates(explained: &Value, piece: usize, task: &str) -> Vec<Told> {
    let tasks = explained["pieces"][piece]["tasks"].as_array().expect("tasks").iter();
    tasks
        .filter(|one| one["task"] == task)
        .flat_map(|one| one["under"].as_array().into_iter().flatten())
        .flat_map(|under| under["rates"].as_array().into_iter().flatten())
        .map(|rate| {
            let history = rate["history"].as_array().into_iter().flatten();
            let history = history.map(|step| {
                (
                    text(step, "event"),
                    text(step, "settled_week"),
                    step["line_number"].as_i64().expect("a number"),
                )
            });
            (
                text(rate, "state"),
                rate["settles_with"].clone(),
                text(rate, "quantity"),
                text(rate, "exact_amount"),
                history.collect(),
            )
        })
        .collect()
}

fn says(explained: &Value, piece: usize, task: &str) -> String {
    let tasks = explained["pieces"][piece]["tasks"].as_array().expect("tasks");
    let found = tasks.iter().find(|one| one["task"] == task);
    let found = found.unwrap_or_else(|| panic!("no {task} in {explained:#}"));
    let says: Vec<_> = found["says"].as_array().expect("words").iter().filter_map(Value::as_str).collect();
    says.join("; ")
}

fn explained(asker: &Actor, ticket: &Value) -> Value {
    asker.get(&format!("/v1/tickets/{}/explanation", text(ticket, "ticket_id"))).expect(200)
}

fn posted(week: &str, line: i64) -> Event {
    ("posted".to_owned(), week.to_owned(), line)
}

fn taken_back(week: &str, line: i64) -> Event {
    ("taken_back".to_owned(), week.to_owned(), line)
}

#[test]
fn a_ticket_from_the_yard_to_the_pay_and_back() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let asker = &outfit.contractor;
    // Printed cells of Scribner Decimal C: 12 in × 16 ft is 8 tens, 16 in × 16 ft is 16 tens.
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("12", "16"), log("16", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let open = explained(asker, &wrong);
    let state = |explained: &Value| rates(explained, 0, "felling");
    let week = json!("2026-06-06");
    assert_eq!(state(&open), [("open".into(), week, "80".into(), "0.8008".into(), vec![])]);
    assert_eq!(says(&open, 0, "felling"), "counted, and not settled yet");

    let _first = outfit.settle("2026-06-06");
    let first = posted("2026-06-06", 1);
    let settled = ("posted".into(), Value::Null, "80".into(), "0.8008".into(), vec![first.clone()]);
    let told = explained(asker, &wrong);
    assert_eq!(state(&told), [settled]);
    // The turn is paid whole: half of it is told of each of two pieces.
    let turn = ("posted".into(), Value::Null, "0.5".into(), "1.25".into(), vec![posted("2026-06-06", 2)]);
    assert_eq!(rates(&told, 1, "skidding"), [turn]);
    assert_eq!(
        (&told["late"], &told["accepted_by"], &told["state"]),
        (&json!(false), &json!("scaler"), &json!("standing"))
    );
    let felling = &told["pieces"][0]["tasks"][0];
    assert_eq!(
        (&felling["party_name"], &felling["under"][0]["gross"]),
        (&json!("Felling crew"), &json!("80"))
    );
    let step = &felling["under"][0]["rates"][0]["history"][0];
    assert_eq!((&step["line_amount"]["amount"], &step["posted_by"]), (&json!("2.40"), &json!("bookkeeper")));

    let right = json!({"reason": "read the wrong end", "ticket": ticket(&outfit, 2, "2026-06-03", &[log("14", "16")])});
    let path = format!("/v1/tickets/{}/corrections", text(&wrong, "ticket_id"));
    let right = outfit.bookkeeper.post(&path, &right).expect(201);
    let told = explained(asker, &wrong);
    let back =
        ("to_be_taken_back".into(), json!("2026-06-13"), "80".into(), "0.8008".into(), vec![first.clone()]);
    assert_eq!(state(&told), [back]);
    assert_eq!(told["corrections"][0]["ticket"]["number"], 2);
    let words = says(&told, 0, "felling");
    let expected = "was settled, and is to be taken back; A 2 tells where the work stands now, having taken this \
                    ticket's place";
    assert_eq!(words, expected);
    let new = explained(asker, &right);
    assert_eq!((&new["corrects"]["number"], &new["late"]), (&json!(1), &json!(true)));
    assert_eq!(state(&new), [("open".into(), json!("2026-06-13"), "110".into(), "1.1011".into(), vec![])]);

    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let _second = outfit.settle("2026-06-13");
    let back = (
        "taken_back".into(),
        Value::Null,
        "80".into(),
        "0.8008".into(),
        vec![first, taken_back("2026-06-13", 1)],
    );
    assert_eq!(state(&explained(asker, &wrong)), [back]);
    let counted =
        ("posted".into(), Value::Null, "110".into(), "1.1011".into(), vec![posted("2026-06-13", 1)]);
    assert_eq!(state(&explained(asker, &right)), [counted]);
}

#[test]
fn what_has_no_price_and_what_was_set_aside() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), pole()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let told = explained(&outfit.contractor, &accepted);
    let unpriced = &told["pieces"][1]["tasks"][0]["unpriced"];
    assert_eq!((&unpriced["reason"]["code"], &unpriced["open"]), (&json!("no_rate"), &json!(true)));
    let words = says(&told, 1, "felling");
    assert!(
        words.contains("nothing pays for it: no rate")
            && words.contains("holds up the week ending 2026-06-06"),
        "{words}"
    );
    assert_eq!(rates(&told, 1, "felling"), []);
    let path = format!("/v1/tickets/{}/set-asides", text(&accepted, "ticket_id"));
    for task in ["felling", "delivery"] {
        let aside = json!({"task": task, "piece": 2, "reason": "kept for the camp"});
        let _aside = outfit.bookkeeper.post(&path, &aside).expect(201);
    }
    let told = explained(&outfit.contractor, &accepted);
    let felling = &told["pieces"][1]["tasks"][0];
    assert_eq!(felling["unpriced"]["open"], false);
    assert_eq!(felling["set_aside"][0]["made_by"], "bookkeeper");
    assert!(
        says(&told, 1, "felling").starts_with("set aside by bookkeeper on 2026-06-08: kept for the camp")
    );
    // The turn is skidded all the same, and half of it is told of the pole.
    assert_eq!(rates(&told, 1, "skidding")[0].2, "0.5");
    let piece = format!("/v1/tickets/{}/pieces/2/explanation", text(&accepted, "ticket_id"));
    let one = outfit.contractor.get(&piece).expect(200);
    assert_eq!(one["pieces"], json!([told["pieces"][1]]));
    for place in ["0", "3"] {
        let path = format!("/v1/tickets/{}/pieces/{place}/explanation", text(&accepted, "ticket_id"));
        let _missing = outfit.contractor.get(&path).refused(Code::NotFound);
    }
    // A void ticket holds no pieces, and the one before tells so.
    let void = json!({"reason": "scaled twice", "ticket": ticket(&outfit, 2, "2026-06-03", &[])});
    let path = format!("/v1/tickets/{}/corrections", text(&accepted, "ticket_id"));
    let void = outfit.bookkeeper.post(&path, &void).expect(201);
    let told = explained(&outfit.contractor, &void);
    assert_eq!((&told["state"], &told["pieces"]), (&json!("void"), &json!([])));
    let told = explained(&outfit.contractor, &accepted);
    assert_eq!(rates(&told, 0, "felling"), [], "it was never posted, and does not count");
    let words = says(&told, 0, "felling");
    assert_eq!(words, "never settled; void since A 2");
    assert_eq!(told["corrections"][0]["reason"], "scaled twice");
}

/// A crew without a contract: everything it did waits for one.
#[test]
fn work_without_a_contract_is_told_to_wait_for_one() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let crew = outfit.manager.post("/v1/crews", &json!({"name": "New crew"})).expect(201);
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    sent["work"] = json!([{"task": "felling", "crew_id": crew["crew_id"]}]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let told = explained(&outfit.contractor, &accepted);
    let felling = &told["pieces"][0]["tasks"][0];
    assert_eq!(felling["unpriced"]["reason"]["code"], "no_contract");
    assert_eq!(felling["unpriced"]["whole_task"], true);
    assert!(felling.get("under").is_none(), "{felling:#}");
}

/// Two crews skid one turn together, two parts of the first log to one; a least quantity belongs to no single piece.
#[test]
fn what_crews_share_is_told_by_their_parts() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let terms = |price: &str| {
        json!({"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}}, "rates": [
            {"name": "skidding logs", "task": "skidding", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": price, "least_quantity_a_turn": "600"}]})
    };
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.bookkeeper.post(&path, &terms("10")).expect(201);
    let second = outfit.manager.post("/v1/crews", &json!({"name": "Second crew"})).expect(201);
    let workers = outfit.manager.get("/v1/workers").expect(200);
    let set = json!({"effective_from": "2026-06-01", "shares": [
        {"worker_id": workers["items"][0]["worker_id"], "parts": "1"}]});
    let path = format!("/v1/crews/{}/share-sets", text(&second, "crew_id"));
    let _set = outfit.manager.post(&path, &set).expect(201);
    let contract = json!({"title": "Second skidding", "job_id": outfit.job, "party": {"crew_id": second["crew_id"]},
                          "terms": terms("12")});
    let _contract = outfit.manager.post("/v1/contracts", &contract).expect(201);
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16")]);
    sent["work"] = json!([{"task": "skidding", "crew_id": outfit.felling_crew, "pieces": [1, 2], "parts": "2"},
                          {"task": "skidding", "crew_id": second["crew_id"], "pieces": [1], "parts": "1"}]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let told = explained(&outfit.contractor, &accepted);
    // 2/3 of 160 is 106.666667; with the other's 80 that is 186.666667 of the 600 × 5/6 = 500 that count at the least:
    // 313.333333 more, half of it for each of two pieces. The second crew: 53.333333, and 600 × 1/6 = 100 at the least.
    let quantities =
        |piece: usize| rates(&told, piece, "skidding").into_iter().map(|one| one.2).collect::<Vec<_>>();
    assert_eq!(
        (quantities(0), quantities(1)),
        (vec!["263.3333335".into(), "100".into()], vec!["236.6666665".into()])
    );
    let tasks = told["pieces"][0]["tasks"].as_array().expect("tasks");
    let parts: Vec<_> = tasks.iter().map(|one| (text(one, "party_name"), one["part"].clone())).collect();
    let of = |name: &str, part: Value| (name.to_owned(), part);
    let expected =
        [of("Felling crew", json!("2/3")), of("Second crew", json!("1/3")), of("Invented mill", Value::Null)];
    assert_eq!(parts, expected, "{told:#}");
    let steps = tasks[0]["under"][0]["rates"][0]["steps"].to_string();
    assert!(steps.contains("2/3 of 160 counts, 106.666667 rounded half up"), "{steps}");
    assert!(steps.contains("it counts for 500, the least that was agreed"), "{steps}");
    // That all of it sums to the lines is held by settling.
    let _posted = outfit.settle("2026-06-06");
}

/// Terms that are filed later for the same day: what they made counts, what was posted under the old ones is taken back.
#[test]
fn amended_terms_are_told_beside_the_old_ones() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let _first = outfit.settle("2026-06-06");
    let terms = json!({"effective_from": "2026-06-01", "practice": {"log": {"rule": "doyle"}}, "rates": [
        {"name": "felling logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
         "basis": "gross", "price": "20"}]});
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.bookkeeper.post(&path, &terms).expect(201);
    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let old = |state: &str, settles: Value, history: Vec<_>| {
        (state.to_owned(), settles, "160".to_owned(), "1.6016".to_owned(), history)
    };
    let first = posted("2026-06-06", 1);
    // Doyle, 16 in by 16 ft: (16 - 4)² = 144 board feet.
    let told = explained(&outfit.contractor, &accepted);
    assert_eq!(
        rates(&told, 0, "felling"),
        [
            old("to_be_taken_back", json!("2026-06-13"), vec![first.clone()]),
            ("open".into(), json!("2026-06-13"), "144".into(), "2.88".into(), vec![])
        ]
    );
    let stands: Vec<_> = told["pieces"][0]["tasks"][0]["under"]
        .as_array()
        .expect("terms")
        .iter()
        .map(|one| &one["stands"])
        .collect();
    assert_eq!(stands, [false, true]);
    let _second = outfit.settle("2026-06-13");
    let told = explained(&outfit.contractor, &accepted);
    assert_eq!(
        rates(&told, 0, "felling"),
        [
            old("taken_back", Value::Null, vec![first, taken_back("2026-06-13", 1)]),
            ("posted".into(), Value::Null, "144".into(), "2.88".into(), vec![posted("2026-06-13", 2)])
        ]
    );
}

#[test]
fn a_line_of_a_statement_is_explained_to_its_payee_alone() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("20", "16"), log("20", "16"), log("20", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let first = outfit.settle("2026-06-06");
    let statement_of = |settlement: &Value, name: &str| {
        let path = format!("/v1/statements?settlement_id={}", text(settlement, "settlement_id"));
        let listed = outfit.bookkeeper.get(&path).expect(200);
        let found =
            listed["items"].as_array().expect("items").iter().find(|one| one["payee"]["name"] == name);
        text(found.unwrap_or_else(|| panic!("no statement for {name}")), "statement_id")
    };
    let line = |statement: &str, number: u32| format!("/v1/statements/{statement}/lines/{number}");
    let his = statement_of(&first, "First sawyer");
    let told = outfit.contractor.get(&line(&his, 1)).expect(200);
    // 840 board feet at 10.01: 8.4084, 8.41; half a cent each way, and the first of the list has it.
    assert_eq!(
        (&told["amount"]["amount"], &told["formerly_amount"]["amount"]),
        (&json!("4.21"), &json!("0.00"))
    );
    assert_eq!(told["explained"]["exact_amount"], "8.4084");
    assert_eq!(
        told["says"],
        "First sawyer has 1 of the crew's parts in 8.41 USD: exactly 420.5 of the smallest unit, rounded down, and one \
         of the units left over: 4.21 USD"
    );
    let paper = outfit.contractor.get(&format!("{}?format=text", line(&his, 1)));
    assert_eq!(paper.header("content-type"), Some("text/plain; charset=utf-8"));
    let typed: wire::StatementLineExplanation = serde_json::from_value(told).expect("the form");
    assert_eq!(paper.text, client::text::statement_line(&typed));
    // The teamster's line is not on his statement, nor is one that is not there.
    for number in [2, 9] {
        let _missing = outfit.contractor.get(&line(&his, number)).refused(Code::NotFound);
    }
    let mills = statement_of(&first, "Invented mill");
    let told = outfit.mill.get(&line(&mills, 3)).expect(200);
    assert_eq!(told["says"], "All of the line is owed by Invented mill: 33.60 USD");
    assert!(!told.to_string().contains("sawyer") && !told.to_string().contains("Felling"), "{told:#}");
    let _hidden = outfit.mill.get(&line(&his, 1)).refused(Code::NotFound);
    let _hidden = outfit.scaler.get(&line(&mills, 3)).refused(Code::RoleNotAllowed);

    let right = json!({"reason": "two logs", "ticket": ticket(&outfit, 2, "2026-06-03", &[log("20", "16"), log("20", "16")])});
    let path = format!("/v1/tickets/{}/corrections", text(&wrong, "ticket_id"));
    let _right = outfit.bookkeeper.post(&path, &right).expect(201);
    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let second = outfit.settle("2026-06-13");
    let told = outfit.contractor.get(&line(&statement_of(&second, "First sawyer"), 1)).expect(200);
    // 560 board feet: 5.6056, 5.61, of which 2.81; 4.21 had been posted.
    let amounts = ["now_amount", "formerly_amount", "amount"].map(|member| told[member]["amount"].clone());
    assert_eq!(amounts, ["2.81", "4.21", "-1.40"]);
    let words = text(&told, "says");
    assert!(
        words.ends_with("4.21 USD had been posted before, so this line brings the difference: -1.40 USD"),
        "{words}"
    );
}

/// A mill follows what was delivered to it up to what it owes, and meets nothing of the crews.
#[test]
fn a_mill_follows_its_own_part_and_no_crews() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), pole()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let path = format!("/v1/tickets/{}/set-asides", text(&accepted, "ticket_id"));
    for task in ["felling", "delivery"] {
        let aside = json!({"task": task, "piece": 2, "reason": "kept for the camp"});
        let _aside = outfit.bookkeeper.post(&path, &aside).expect(201);
    }
    let _posted = outfit.settle("2026-06-06");
    let told = explained(&outfit.mill, &accepted);
    let tasks = |piece: usize| told["pieces"][piece]["tasks"].as_array().expect("tasks").clone();
    assert_eq!(tasks(0).iter().map(|one| &one["task"]).collect::<Vec<_>>(), ["delivery"]);
    assert_eq!(rates(&told, 0, "delivery")[0].4, [posted("2026-06-06", 3)]);
    let step = &tasks(0)[0]["under"][0]["rates"][0]["history"][0];
    assert!(step.get("posted_by").is_none(), "{step:#}");
    for hidden in ["sawyer", "Felling", "Team", "camp", "bookkeeper"] {
        assert!(!told.to_string().contains(hidden), "{hidden} in {told:#}");
    }
    let path = format!("/v1/tickets/{}/explanation", text(&accepted, "ticket_id"));
    let other = outfit.manager.post("/v1/mills", &json!({"name": "Upper mill"})).expect(201);
    let other = text(&other, "mill_id").parse().expect("an id");
    let other = app.member(outfit.outfit, Role::Mill, Some(other));
    let _hidden = other.get(&path).refused(Code::NotFound);
    let _hidden = outfit.scaler.get(&path).refused(Code::RoleNotAllowed);
    let paper = outfit.mill.get(&format!("{path}?format=text"));
    let typed: wire::TicketExplanation = serde_json::from_value(told).expect("the form");
    assert_eq!(paper.text, client::text::ticket_explanation(&typed));
    let _wrong = outfit.mill.get(&format!("{path}?format=paper")).refused(Code::WrongAddress);
}
