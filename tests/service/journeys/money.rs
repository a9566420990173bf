//! Money beside the scale: holdback, advances, charges, payments, what is let go and what is taken back.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};
use wire::Code;

/// An outfit whose felling crew gets a hundred for a thousand, of which a tenth is held up to 1.00 for each member.
struct Camp {
    app: TestApp,
    outfit: Furnished,
    database: Inspector,
    first: String,
    second: String,
}

fn text(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

impl Camp {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let terms = json!({
            "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
            "holdback": {"percent": "10", "cap": "1.00"},
            "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                       "unit": "thousand_board_feet", "basis": "gross", "price": "100"}]
        });
        let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
        let _filed = outfit.bookkeeper.post(&path, &terms).expect(201);
        let workers = outfit.bookkeeper.get("/v1/workers").expect(200);
        let [first, second] = [0, 1].map(|place: usize| text(&workers["items"][place], "worker_id"));
        let database = Inspector::connect(&app.database.url());
        database.open_books_of(outfit.outfit);
        Self { app, outfit, database, first, second }
    }

    /// So many logs of 160 board feet: 8.00 to each sawyer for every one.
    fn fell(&self, number: u32, day: &str, logs: usize) {
        let sent = ticket(&self.outfit, number, day, &vec![log("16", "16"); logs]);
        let _accepted = self.outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }

    fn file(&self, path: &str, body: Value) -> Value {
        self.outfit.bookkeeper.post(path, &body).expect(201)
    }

    fn charge(&self, worker: &str, kind: &str, amount: &str, most: Option<&str>) -> String {
        let mut charge = json!({"worker_id": worker, "dated": "2026-06-05", "kind": kind,
                                "says": format!("{kind} of the camp"), "amount": amount});
        if let Some(most) = most {
            charge["most_a_week"] = json!(most);
        }
        text(&self.file("/v1/charges", charge), "charge_id")
    }

    fn advance(&self, worker: &str, amount: &str, most: &str) -> String {
        let advance = json!({"worker_id": worker, "dated": "2026-06-02", "says": "for boots", "amount": amount,
                             "recovery": {"by": "most_a_week", "amount": most}});
        text(&self.file("/v1/advances", advance), "advance_id")
    }

    fn pay(&self, party: Value, amount: &str) -> Value {
        self.file(
            "/v1/payments",
            json!({"party": party, "dated": "2026-06-08", "says": "in cash", "amount": amount}),
        )
    }

    fn release(&self, worker: &str, amount: &str) -> tests::Reply {
        let release = json!({"worker_id": worker, "contract_id": self.outfit.felling_contract,
                             "dated": "2026-06-08", "says": "as agreed", "amount": amount});
        self.outfit.bookkeeper.post("/v1/holdback-releases", &release)
    }

    fn take_back(&self, record: Value) -> Value {
        self.file("/v1/reversals", json!({"record": record, "reason": "it was a mistake"}))
    }

    /// A worker's statement of a settlement.
    fn statement(&self, settlement: &Value, worker: &str) -> Value {
        let id = text(settlement, "settlement_id");
        let path = format!("/v1/statements?settlement_id={id}&worker_id={worker}");
        let listed = self.outfit.bookkeeper.get(&path).expect(200);
        let statement = text(&listed["items"][0], "statement_id");
        self.outfit.bookkeeper.get(&format!("/v1/statements/{statement}")).expect(200)
    }

    fn at(&self, time: &str) {
        self.app.clock.set(time.parse().expect("a time"));
    }

    /// Every entry sums to zero, and each worker's account stands at what his last statement closed with and what came
    /// and went since.
    fn books_agree(&self) {
        let unbalanced = "SELECT count(*) FROM (SELECT journal_entry_id FROM journal_posting GROUP BY 1
                          HAVING sum(amount_minor) <> 0) AS entry";
        assert_eq!(self.database.number(unbalanced), 0);
        for worker in [&self.first, &self.second] {
            let listed =
                self.outfit.bookkeeper.get(&format!("/v1/statements?worker_id={worker}")).expect(200);
            let mut opening = 0;
            for statement in listed["items"].as_array().expect("items") {
                let figure = |member: &str| minor(&statement[member]);
                assert_eq!(figure("opening"), opening, "{statement:#}");
                let sum =
                    opening + figure("moved") + figure("earned") + figure("added") - figure("kept_back");
                assert_eq!(figure("closing"), sum, "{statement:#}");
                opening = figure("closing");
                // A statement without more to tell apart: what moved is what the movements come to.
                let path = format!("/v1/statements/{}", text(statement, "statement_id"));
                let whole = self.outfit.bookkeeper.get(&path).expect(200);
                let moved = whole["movements"].as_array().into_iter().flatten();
                let moved: i64 = moved.map(|one| minor(&one["amount"])).sum();
                assert_eq!(figure("moved"), moved, "{whole:#}");
            }
            let stands = format!(
                "SELECT coalesce(-sum(amount_minor), 0)::bigint FROM journal_posting
                 WHERE account = 'payable_to_worker' AND worker_id = '{worker}'"
            );
            let since = format!(
                "SELECT coalesce(-sum(amount_minor), 0)::bigint FROM journal_posting
                 WHERE account = 'payable_to_worker' AND worker_id = '{worker}' AND journal_entry_id >
                 coalesce((SELECT max(statement_id::text)::uuid FROM statement WHERE worker_id = '{worker}'),
                          '00000000-0000-0000-0000-000000000000')"
            );
            assert_eq!(self.database.number(&stands), opening + self.database.number(&since));
        }
    }
}

/// An amount in cents.
fn minor(money: &Value) -> i64 {
    money["amount"].as_str().expect("an amount").replace('.', "").parse().expect("a number")
}

/// The figures of a statement in their order: opening, moved, earned, added, kept back, closing.
fn figures(statement: &Value) -> [&str; 6] {
    ["opening", "moved", "earned", "added", "kept_back", "closing"]
        .map(|member| statement[member]["amount"].as_str().expect("an amount"))
}

/// What was kept back of a statement's pay: due, taken, carried.
fn kept(statement: &Value) -> Vec<[&str; 3]> {
    let kept = statement["pay"]["take_offs"].as_array().map(Vec::as_slice).unwrap_or_default();
    kept.iter()
        .map(|one| {
            ["due", "taken", "carried"].map(|member| one[member]["amount"].as_str().expect("an amount"))
        })
        .collect()
}

/// A week that brings 16.00 to each of two: an advance, board and tools for the first, a large charge for the second.
fn indebted(camp: &Camp) -> [String; 3] {
    let advance = camp.advance(&camp.first, "5.00", "2.00");
    let _board = camp.charge(&camp.first, "board", "4.00", None);
    let tools = camp.charge(&camp.first, "tools", "20.00", Some("6.00"));
    let too_much = camp.charge(&camp.second, "tools", "40.00", None);
    camp.fell(1, "2026-06-03", 2);
    [advance, tools, too_much]
}

#[test]
fn what_is_kept_back_is_taken_in_order() {
    let camp = Camp::new();
    let [advance, ..] = indebted(&camp);
    let first_week = camp.outfit.settle("2026-06-06");
    assert_eq!(first_week["kept_back"]["amount"], "29.00");

    // 16.00: holdback at its cap, the advance and the tools at their most a week.
    let statement = camp.statement(&first_week, &camp.first);
    assert_eq!(
        kept(&statement),
        [
            ["1.00", "1.00", "0.00"],
            ["2.00", "2.00", "0.00"],
            ["4.00", "4.00", "0.00"],
            ["6.00", "6.00", "0.00"]
        ]
    );
    assert_eq!(figures(&statement), ["0.00", "0.00", "16.00", "0.00", "13.00", "3.00"]);
    assert_eq!(statement["pay"]["take_offs"][1]["advance_id"], advance.as_str());
    assert_eq!(statement["pay"]["take_offs"][3]["charge_kind"], "tools");
    assert_eq!(statement["year_to_date"]["kept_back"]["amount"], "13.00");
    assert_eq!(statement["volumes"][0]["rows"][0]["gross"], "320");
    // Nothing that is kept back leaves less than nothing.
    let other = camp.statement(&first_week, &camp.second);
    assert_eq!(kept(&other), [["1.00", "1.00", "0.00"], ["40.00", "15.00", "25.00"]]);
    assert_eq!(figures(&other), ["0.00", "0.00", "16.00", "0.00", "16.00", "0.00"]);
    camp.books_agree();
}

#[test]
fn posted_again_it_is_posted_once() {
    let camp = Camp::new();
    let _debts = indebted(&camp);
    let first_week = camp.outfit.settle("2026-06-06");
    let before = camp.database.counts();
    let posting = format!("/v1/settlements/{}/posting", text(&first_week, "settlement_id"));
    let again = camp.outfit.bookkeeper.put(&posting);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    assert_eq!(camp.database.counts(), before);
}

/// The first week is posted; he is paid what he has coming, and then half a dollar too much. The second is posted.
fn second_week(camp: &Camp) -> Value {
    let _first_week = camp.outfit.settle("2026-06-06");
    let paid = camp.pay(json!({"worker_id": camp.first}), "3.00");
    assert_eq!(paid["balance"]["amount"], "0.00");
    let paid = camp.pay(json!({"worker_id": camp.first}), "0.50");
    assert_eq!(paid["balance"]["amount"], "-0.50");
    camp.books_agree();

    camp.at("2026-06-15T13:00:00Z");
    camp.fell(2, "2026-06-10", 1);
    camp.outfit.settle("2026-06-13")
}

#[test]
fn what_the_pay_does_not_allow_is_carried_forward() {
    let camp = Camp::new();
    let [_, tools, _] = indebted(&camp);
    let second_week = second_week(&camp);
    // 8.00 less the half dollar: the rest of the advance's week, and of the tools what is left.
    let statement = camp.statement(&second_week, &camp.first);
    assert_eq!(kept(&statement), [["2.00", "2.00", "0.00"], ["6.00", "5.50", "0.50"]]);
    assert_eq!(figures(&statement), ["3.00", "-3.50", "8.00", "0.00", "7.50", "0.00"]);
    let moved: Vec<_> = statement["movements"].as_array().expect("movements").iter().collect();
    assert_eq!(moved.len(), 2);
    assert_eq!(
        (&moved[0]["says"], &moved[0]["amount"]["amount"]),
        (&json!("Payment: in cash"), &json!("-3.00"))
    );
    assert_eq!(statement["year_to_date"]["earned"]["amount"], "24.00");
    let other = camp.statement(&second_week, &camp.second);
    assert_eq!(kept(&other), [["25.00", "8.00", "17.00"]], "the holdback has reached its cap");

    let charges = camp.outfit.contractor.get(&format!("/v1/charges?worker_id={}", camp.first)).expect(200);
    let charge = &charges["items"][1];
    assert_eq!(charge["charge_id"], tools.as_str());
    assert_eq!(
        (&charge["taken"]["amount"], &charge["outstanding"]["amount"]),
        (&json!("11.50"), &json!("8.50"))
    );
    let advances = camp.outfit.contractor.get(&format!("/v1/advances?worker_id={}", camp.first)).expect(200);
    assert_eq!(advances["items"][0]["outstanding"]["amount"], "1.00");
}

/// The saw comes back: what was taken for it is given back, also in a week without work.
#[test]
fn a_charge_taken_back_is_given_back() {
    let camp = Camp::new();
    let [_, tools, too_much] = indebted(&camp);
    let _second_week = second_week(&camp);
    let _reversal = camp.take_back(json!({"charge_id": tools}));
    let _reversal = camp.take_back(json!({"charge_id": too_much}));
    camp.at("2026-06-22T13:00:00Z");
    let third_week = camp.outfit.settle("2026-06-20");
    let statement = camp.statement(&third_week, &camp.first);
    assert_eq!(kept(&statement), [["1.00", "0.00", "1.00"], ["-11.50", "-11.50", "0.00"]]);
    assert_eq!(figures(&statement), ["0.00", "0.00", "0.00", "0.00", "-11.50", "11.50"]);
    let other = camp.statement(&third_week, &camp.second);
    assert_eq!(figures(&other), ["0.00", "0.00", "0.00", "0.00", "-23.00", "23.00"]);
    let charges = camp.outfit.contractor.get(&format!("/v1/charges?worker_id={}", camp.second)).expect(200);
    let charge = &charges["items"][0];
    assert_eq!(
        (&charge["taken"]["amount"], &charge["outstanding"]["amount"]),
        (&json!("0.00"), &json!("0.00"))
    );
    assert_eq!(charge["reversed"]["reason"], "it was a mistake");
    camp.books_agree();
}

#[test]
fn holdback_is_let_go_and_taken_back() {
    let camp = Camp::new();
    camp.fell(1, "2026-06-03", 2);
    let _posted = camp.outfit.settle("2026-06-06");
    let held = |place: usize| {
        let listed =
            camp.outfit.contractor.get(&format!("/v1/holdback?worker_id={}", camp.first)).expect(200);
        (listed[place]["held"]["amount"].clone(), listed[place]["releases"].as_array().map(Vec::len))
    };
    assert_eq!(held(0), (json!("1.00"), Some(0)));
    let release = camp.release(&camp.first, "0.60").expect(201);
    assert_eq!(held(0), (json!("0.40"), Some(1)));
    let refused = camp.release(&camp.first, "0.50");
    let problem = refused.refused(Code::MoreThanHeld);
    assert!(problem["detail"].as_str().expect("a detail").contains("0.40 USD is held"), "{problem:#}");
    // All of it is paid out, and then it turns out that nothing was to be let go.
    let paid = camp.pay(json!({"worker_id": camp.first}), "15.60");
    assert_eq!(paid["balance"]["amount"], "0.00");
    let _reversal = camp.take_back(json!({"release_id": release["release_id"]}));
    assert_eq!(held(0), (json!("1.00"), Some(1)));
    camp.books_agree();
    camp.at("2026-06-15T13:00:00Z");
    camp.fell(2, "2026-06-10", 1);
    let posted = camp.outfit.settle("2026-06-13");
    let statement = camp.statement(&posted, &camp.first);
    assert_eq!(figures(&statement), ["15.00", "-15.60", "8.00", "0.00", "0.00", "7.40"]);
    let moved: Vec<_> = statement["movements"]
        .as_array()
        .expect("movements")
        .iter()
        .map(|one| one["amount"]["amount"].as_str().expect("an amount"))
        .collect();
    assert_eq!(moved, ["0.60", "-15.60", "-0.60"]);
    camp.books_agree();
}

/// An advance and a payment that never were; and what the mill owes, less what it has paid.
#[test]
fn what_is_taken_back_leaves_no_trace_in_the_sums() {
    let camp = Camp::new();
    let advance = camp.advance(&camp.first, "5.00", "2.00");
    camp.fell(1, "2026-06-03", 1);
    let _posted = camp.outfit.settle("2026-06-06");
    let payment = camp.pay(json!({"worker_id": camp.first}), "1.00");
    assert_eq!(
        payment["balance"]["amount"], "4.20",
        "8.00 less 0.80 held, 2.00 of the advance and 1.00 paid"
    );
    let _reversal = camp.take_back(json!({"payment_id": payment["payment"]["payment_id"]}));
    let _reversal = camp.take_back(json!({"advance_id": advance}));
    camp.at("2026-06-15T13:00:00Z");
    let posted = camp.outfit.settle("2026-06-13");
    let statement = camp.statement(&posted, &camp.first);
    assert_eq!(kept(&statement), [["-2.00", "-2.00", "0.00"]]);
    assert_eq!(figures(&statement), ["5.20", "0.00", "0.00", "0.00", "-2.00", "7.20"]);
    assert_eq!(statement["movements"].as_array().map(Vec::len), Some(2), "both stay readable");
    for account in ["cash", "advance_to_worker"] {
        let sum = format!(
            "SELECT coalesce(sum(amount_minor), 0)::bigint FROM journal_posting WHERE account = '{account}'"
        );
        assert_eq!(camp.database.number(&sum), 0, "{account}");
    }
    camp.books_agree();
    // 160 board feet at 40 a thousand: 6.40.
    let paid = camp.pay(json!({"mill_id": camp.outfit.mill_id}), "6.00");
    assert_eq!(paid["balance"]["amount"], "0.40");
    let listed =
        camp.outfit.contractor.get(&format!("/v1/payments?mill_id={}", camp.outfit.mill_id)).expect(200);
    assert_eq!(listed["items"][0]["payment_id"], paid["payment"]["payment_id"]);
}

/// Whatever changes what a draft shows makes it out of date.
#[test]
fn a_draft_is_out_of_date_when_money_has_moved() {
    let camp = Camp::new();
    camp.fell(1, "2026-06-03", 2);
    let charged = camp.charge(&camp.first, "store", "1.00", None);
    let _posted = camp.outfit.settle("2026-06-06");
    camp.at("2026-06-15T13:00:00Z");
    camp.fell(2, "2026-06-10", 1);
    let draft = || {
        let draft = camp.file("/v1/settlements", json!({"week_ends_on": "2026-06-13"}));
        format!("/v1/settlements/{}/posting", text(&draft, "settlement_id"))
    };
    let changes: [(&str, &dyn Fn()); 5] = [
        ("a charge", &|| drop(camp.charge(&camp.second, "store", "0.10", None))),
        ("an advance", &|| drop(camp.advance(&camp.second, "0.30", "0.10"))),
        ("holdback let go, which is held again", &|| drop(camp.release(&camp.first, "0.60").expect(201))),
        ("more paid than was due, so that less can be kept back", &|| {
            let _big = camp.charge(&camp.first, "store", "7.00", None);
            let before = draft();
            let _paid = camp.pay(json!({"worker_id": camp.first}), "20.00");
            let _stale = camp.outfit.bookkeeper.put(&before).refused(Code::DraftOutOfDate);
        }),
        ("a charge that is taken back", &|| drop(camp.take_back(json!({"charge_id": charged})))),
    ];
    for (what, change) in changes {
        let drafted = draft();
        change();
        let reply = camp.outfit.bookkeeper.put(&drafted);
        assert_eq!(reply.code(), Some(Code::DraftOutOfDate), "{what}: {:#}", reply.body);
    }
    // A payment that changes nothing in it does not.
    let drafted = draft();
    let _paid = camp.pay(json!({"mill_id": camp.outfit.mill_id}), "1.00");
    let _posted = camp.outfit.bookkeeper.put(&drafted).expect(201);
    camp.books_agree();
}

#[test]
fn wage_terms_are_listed_by_day_with_the_caution() {
    let camp = Camp::new();
    for (from, minimum) in [("2026-06-14", "8.00"), ("2026-05-31", "7.25"), ("2026-05-31", "7.50")] {
        let terms = json!({"effective_from": from, "terms": {"minimum_an_hour": minimum}});
        let filed = camp.file("/v1/wage-terms", terms);
        assert!(filed["caution"].as_str().is_some_and(|says| says.contains("not legal advice")), "{filed:#}");
    }
    let listed = camp.outfit.contractor.get("/v1/wage-terms").expect(200);
    let listed: Vec<_> = listed["wage_terms"]
        .as_array()
        .expect("terms")
        .iter()
        .map(|one| {
            (
                one["effective_from"].as_str(),
                one["revision"].as_i64(),
                one["terms"]["minimum_an_hour"].as_str(),
            )
        })
        .collect();
    assert_eq!(
        listed,
        [
            (Some("2026-05-31"), Some(2), Some("7.25")),
            (Some("2026-05-31"), Some(3), Some("7.5")),
            (Some("2026-06-14"), Some(1), Some("8")),
        ]
    );
}
