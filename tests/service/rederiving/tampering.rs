//! A database that was changed by hand, its guards switched off: every change shows where it was made, at the links to
//! its neighbours and nowhere else.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};

/// An outfit with a posted week: 80 and 160 board feet felled for 2.40, one turn skidded for 2.50, delivered for 9.60.
struct Books {
    app: TestApp,
    outfit: Furnished,
    database: Inspector,
    posted: Value,
    /// Ids and what stands for them in pointers.
    names: Vec<(String, String)>,
}

impl Books {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let sent = ticket(&outfit, 1, "2026-06-03", &[log("12", "16"), log("16", "16")]);
        let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
        let posted = outfit.settle("2026-06-06");
        let database = Inspector::connect(&app.database.url());
        database.open_books_of(outfit.outfit);
        let mut names = vec![(text(&accepted["ticket_id"]), "A 1".to_owned())];
        for (list, id, name) in [
            ("/v1/workers", "worker_id", "name"),
            ("/v1/mills", "mill_id", "name"),
            ("/v1/contracts", "contract_id", "title"),
        ] {
            let listed = outfit.manager.get(list).expect(200);
            let items = listed["items"].as_array().expect("items");
            names.extend(items.iter().map(|item| (text(&item[id]), text(&item[name]))));
        }
        Self { app, outfit, database, posted, names }
    }

    /// Changes a table with its guards off, as only the owner of the database can.
    fn tamper(&self, table: &str, change: &str) {
        let off = format!("ALTER TABLE {table} DISABLE TRIGGER USER");
        let on = format!("ALTER TABLE {table} ENABLE TRIGGER USER");
        let _none = self.database.ask(&format!("BEGIN; {off}; {change}; {on}; COMMIT"));
    }

    fn again(&self) -> Value {
        let id = text(&self.posted["settlement_id"]);
        self.outfit.contractor.get(&format!("/v1/settlements/{id}/rederivation")).expect(200)
    }

    /// The differences as (pointer, stored, derived), ids told by their names.
    fn differences(&self) -> Vec<(String, String, String)> {
        let again = self.again();
        let listed = again["differences"].as_array().cloned().unwrap_or_default();
        assert_eq!(again["difference_count"], listed.len(), "{again:#}");
        assert_eq!(again["agrees"], listed.is_empty(), "{again:#}");
        let named = |pointer: &str| {
            self.names.iter().fold(pointer.to_owned(), |pointer, (id, name)| pointer.replace(id, name))
        };
        let value = |value: &Value| value.as_str().unwrap_or("-").to_owned();
        listed
            .iter()
            .map(|one| (named(&text(&one["pointer"])), value(&one["stored"]), value(&one["derived"])))
            .collect()
    }

    fn finds(&self, expected: &[(&str, &str, &str)]) {
        let found = self.differences();
        let found: Vec<_> =
            found.iter().map(|(at, stored, derived)| (&**at, &**stored, &**derived)).collect();
        assert_eq!(found, expected);
    }
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_owned()
}

#[test]
fn clean_books_come_out_and_tell_how_much_was_compared() {
    let books = Books::new();
    let again = books.again();
    assert_eq!(again["agrees"], true, "{again:#}");
    assert_eq!(
        again["compared"],
        json!({"lines": 3, "tickets": 1, "pieces": 2, "derivations": 3, "rate_lines": 3, "time_entries": 0,
               "shares": 4, "pays": 3, "statements": 4, "postings": 7})
    );
    assert!(again.get("not_compared").is_none(), "{again:#}");
    let felling = &books.outfit.felling_contract;
    let id = text(&books.posted["settlement_id"]);
    let path = format!("/v1/settlements/{id}/rederivation?contract_id={felling}");
    let narrow = books.outfit.bookkeeper.get(&path).expect(200);
    assert_eq!((&narrow["agrees"], &narrow["compared"]["lines"]), (&json!(true), &json!(1)), "{narrow:#}");
    assert_eq!(narrow["not_compared"].as_array().map(Vec::len), Some(1));
    let paper = books.outfit.bookkeeper.get(&format!("/v1/settlements/{id}/rederivation?format=text"));
    assert_eq!(paper.header("content-type"), Some("text/plain; charset=utf-8"));
    assert!(paper.text.ends_with("All of it is as it was posted.\n"), "{}", paper.text);
}

#[test]
fn a_measurement_that_was_changed() {
    let books = Books::new();
    books.tamper(
        "ticket",
        r#"UPDATE ticket SET pieces = jsonb_set(pieces, '{0,small_diameter_in}', '["16"]')"#,
    );
    // 16 inches by 16 feet stand at 160 in the printed table, 12 inches at 80.
    books.finds(&[
        ("/tickets/A 1/fingerprint", "-", "-"),
        ("/tickets/A 1/contracts/Felling/pieces/1/gross", "80", "160"),
        ("/tickets/A 1/contracts/Felling/pieces/1/net", "80", "160"),
        ("/tickets/A 1/contracts/Felling/rates/1/quantity", "240", "320"),
        ("/tickets/A 1/contracts/Felling/timber", "-", "-"),
        ("/tickets/A 1/contracts/Skidding/pieces/1/gross", "80", "160"),
        ("/tickets/A 1/contracts/Skidding/pieces/1/net", "80", "160"),
        ("/tickets/A 1/contracts/Skidding/timber", "-", "-"),
        ("/tickets/A 1/contracts/Logs delivered/pieces/1/gross", "80", "160"),
        ("/tickets/A 1/contracts/Logs delivered/pieces/1/net", "80", "160"),
        ("/tickets/A 1/contracts/Logs delivered/rates/1/quantity", "240", "320"),
        ("/tickets/A 1/contracts/Logs delivered/timber", "-", "-"),
        ("/lines/1/quantity", "240", "320"),
        ("/lines/1/amount", "2.40 USD", "3.20 USD"),
        ("/lines/1/by_payee/First sawyer", "1.20 USD", "1.60 USD"),
        ("/lines/1/by_payee/Second sawyer", "1.20 USD", "1.60 USD"),
        ("/lines/3/quantity", "240", "320"),
        ("/lines/3/amount", "9.60 USD", "12.80 USD"),
        ("/lines/3/by_payee/Invented mill", "9.60 USD", "12.80 USD"),
    ]);
}

#[test]
fn a_volume_that_was_changed() {
    let books = Books::new();
    let of_mill = "(SELECT contract_id FROM contract WHERE mill_id IS NOT NULL)";
    books.tamper(
        "derivation",
        &format!("UPDATE derivation SET net[1] = 70000000 WHERE contract_id = {of_mill}"),
    );
    books.finds(&[("/tickets/A 1/contracts/Logs delivered/pieces/1/net", "70", "80")]);
    books.tamper(
        "derivation",
        &format!("UPDATE derivation SET culls[2] = 'rot' WHERE contract_id = {of_mill}"),
    );
    books.finds(&[
        ("/tickets/A 1/contracts/Logs delivered/pieces/1/net", "70", "80"),
        ("/tickets/A 1/contracts/Logs delivered/pieces/2/cull", "rot", "-"),
    ]);
}

#[test]
fn a_sum_by_kind_of_timber_that_was_changed() {
    let books = Books::new();
    books.tamper(
        "derivation",
        "UPDATE derivation SET timber = replace(timber::text, '\"log\"', '\"pole\"')::json
         WHERE contract_id = (SELECT contract_id FROM contract WHERE mill_id IS NOT NULL)",
    );
    books.finds(&[("/tickets/A 1/contracts/Logs delivered/timber", "-", "-")]);
}

#[test]
fn a_quantity_that_was_changed() {
    let books = Books::new();
    let of_felling = format!(
        "(SELECT derivation_id FROM derivation WHERE contract_id = '{}')",
        books.outfit.felling_contract
    );
    let change = format!("UPDATE accrual SET quantity = 250000000 WHERE derivation_id = {of_felling}");
    books.tamper("accrual", &change);
    books.finds(&[("/tickets/A 1/contracts/Felling/rates/1/quantity", "250", "240")]);
    books.tamper("accrual", &format!("DELETE FROM accrual WHERE derivation_id = {of_felling}"));
    books.finds(&[
        ("/tickets/A 1/contracts/Felling/rates/1/quantity", "-", "240"),
        ("/tickets/A 1/contracts/Felling/rates/1/posted", "-", "-"),
    ]);
}

#[test]
fn an_amount_that_was_changed_together_with_its_share() {
    let books = Books::new();
    books.tamper("settlement_line", "UPDATE settlement_line SET amount_minor = 1060 WHERE line_number = 3");
    books.tamper("settlement_share", "UPDATE settlement_share SET amount_minor = 1060 WHERE line_number = 3");
    books.finds(&[
        ("/lines/3/amount", "10.60 USD", "9.60 USD"),
        ("/lines/3/by_payee/Invented mill", "10.60 USD", "9.60 USD"),
        ("/draft/lines/3/amount", "9.60 USD", "10.60 USD"),
        ("/draft/lines/3/by_payee/Invented mill", "9.60 USD", "10.60 USD"),
        ("/journal/Assets:Receivable:Invented mill", "9.60 USD", "10.60 USD"),
        ("/journal/Income:Timber", "-9.60 USD", "-10.60 USD"),
        ("/statements/Invented mill/earned", "9.60 USD", "10.60 USD"),
        ("/statements/Invented mill/closing", "9.60 USD", "10.60 USD"),
    ]);
}

#[test]
fn a_share_that_was_moved_from_one_to_another() {
    let books = Books::new();
    for (position, cents) in [(1, 130), (2, 110)] {
        let change = format!(
            "UPDATE settlement_share SET amount_minor = {cents} WHERE line_number = 1 AND position = {position}"
        );
        books.tamper("settlement_share", &change);
    }
    books.finds(&[
        ("/lines/1/by_payee/First sawyer", "1.30 USD", "1.20 USD"),
        ("/lines/1/by_payee/Second sawyer", "1.10 USD", "1.20 USD"),
        ("/draft/lines/1/by_payee/First sawyer", "1.20 USD", "1.30 USD"),
        ("/draft/lines/1/by_payee/Second sawyer", "1.20 USD", "1.10 USD"),
        ("/journal/Liabilities:Wages payable:First sawyer", "-1.20 USD", "-1.30 USD"),
        ("/journal/Liabilities:Wages payable:Second sawyer", "-1.20 USD", "-1.10 USD"),
        ("/statements/First sawyer/earned", "1.20 USD", "1.30 USD"),
        ("/statements/First sawyer/closing", "1.20 USD", "1.30 USD"),
        ("/statements/Second sawyer/earned", "1.20 USD", "1.10 USD"),
        ("/statements/Second sawyer/closing", "1.20 USD", "1.10 USD"),
    ]);
}

#[test]
fn a_line_that_was_deleted() {
    let books = Books::new();
    books.tamper("settlement_share", "DELETE FROM settlement_share WHERE line_number = 2");
    books.tamper("settlement_line", "DELETE FROM settlement_line WHERE line_number = 2");
    books.finds(&[
        ("/lines/2", "-", "-"),
        ("/tickets/A 1/contracts/Skidding/rates/1/posted", "-", "-"),
        ("/journal/Expenses:Work:skidding", "2.50 USD", "-"),
        ("/journal/Liabilities:Wages payable:Teamster", "-2.50 USD", "-"),
        ("/statements/Teamster/earned", "2.50 USD", "0.00 USD"),
        ("/statements/Teamster/closing", "2.50 USD", "0.00 USD"),
    ]);
}

#[test]
fn a_line_that_slipped_in() {
    let books = Books::new();
    let columns = "outfit_id, settlement_id, week_ends_on, contract_id, terms_id, rate_number, crew_id, \
                   share_set_id, mill_id, worker_id, quantity, pieces, amount_minor, entered, withdrawn";
    let _none = books.database.ask(&format!(
        "BEGIN; INSERT INTO settlement_line ({columns}, line_number) SELECT {columns}, 4 FROM settlement_line \
         WHERE line_number = 2; \
         INSERT INTO settlement_share SELECT outfit_id, settlement_id, 4, position, worker_id, mill_id, amount_minor \
         FROM settlement_share WHERE line_number = 2; COMMIT"
    ));
    books.finds(&[
        ("/lines/4", "-", "-"),
        ("/lines/4", "-", "-"),
        ("/tickets/A 1/contracts/Skidding/rates/1/posted", "-", "-"),
        ("/journal/Expenses:Work:skidding", "2.50 USD", "5.00 USD"),
        ("/journal/Liabilities:Wages payable:Teamster", "-2.50 USD", "-5.00 USD"),
        ("/statements/Teamster/earned", "2.50 USD", "5.00 USD"),
        ("/statements/Teamster/closing", "2.50 USD", "5.00 USD"),
    ]);
}

#[test]
fn a_price_that_was_changed() {
    let books = Books::new();
    let contract = &books.outfit.felling_contract;
    let change = format!(
        r#"UPDATE terms SET rates = jsonb_set(rates, '{{0,price}}', '"12"') WHERE contract_id = '{contract}'"#
    );
    books.tamper("terms", &change);
    // 240 board feet at 12 a thousand are 2.88.
    books.finds(&[
        ("/lines/1/amount", "2.40 USD", "2.88 USD"),
        ("/lines/1/by_payee/First sawyer", "1.20 USD", "1.44 USD"),
        ("/lines/1/by_payee/Second sawyer", "1.20 USD", "1.44 USD"),
        ("/draft/lines/1/price", "10.01", "12"),
    ]);
}

#[test]
fn a_draft_a_statement_and_a_posting_that_were_changed() {
    let books = Books::new();
    let change = r#"UPDATE settlement SET lines = jsonb_set(lines, '{1,amount,amount}', '"2.60"')"#;
    books.tamper("settlement", change);
    let drafted = [("/draft/lines/2/amount", "2.60 USD", "2.50 USD"), ("/draft/fingerprint", "-", "-")];
    books.finds(&drafted);
    let change = "UPDATE statement SET opening_minor = 100, closing_minor = 1060 WHERE mill_id IS NOT NULL";
    books.tamper("statement", change);
    let stated = [
        ("/statements/Invented mill/opening", "1.00 USD", "0.00 USD"),
        ("/statements/Invented mill/closing", "10.60 USD", "9.60 USD"),
    ];
    books.finds(&[&drafted[..], &stated[..]].concat());
    let change = "UPDATE journal_posting SET amount_minor = amount_minor - 10 WHERE worker_id IS NOT NULL \
                  AND amount_minor = -250";
    books.tamper("journal_posting", change);
    let booked = [("/journal/Liabilities:Wages payable:Teamster", "-2.60 USD", "-2.50 USD")];
    books.finds(&[&drafted[..], &booked[..], &stated[..]].concat());
}

/// What came afterwards is no tampering; what is dated back to before the posting is.
#[test]
fn a_ticket_that_came_before_the_posting_and_is_not_paid() {
    let books = Books::new();
    books.app.clock.set("2026-06-09T13:00:00Z".parse().expect("a time"));
    let sent = ticket(&books.outfit, 2, "2026-06-04", &[log("16", "16")]);
    let late = books.outfit.scaler.post("/v1/tickets", &sent).expect(201);
    books.finds(&[]);
    // Its rows are given ids of a time before the week was posted.
    let earlier = |table: &str, id: &str| {
        format!(
            "UPDATE {table} SET {id} = ('00000000' || substr({id}::text, 9))::uuid WHERE ticket_id = '{}'",
            text(&late["ticket_id"])
        )
    };
    books.tamper("accrual", "ALTER TABLE accrual DROP CONSTRAINT accrual_outfit_id_derivation_id_fkey");
    books.tamper(
        "accrual",
        &format!(
            "UPDATE accrual SET derivation_id = ('00000000' || substr(derivation_id::text, 9))::uuid WHERE \
             derivation_id IN (SELECT derivation_id FROM derivation WHERE ticket_id = '{}')",
            text(&late["ticket_id"])
        ),
    );
    books.tamper("derivation", &earlier("derivation", "derivation_id"));
    let found = books.differences();
    assert_eq!(found.len(), 3, "felling, skidding and delivery: {found:#?}");
    assert!(found.iter().all(|(pointer, ..)| pointer.ends_with("/rates/1/posted")), "{found:#?}");
}
