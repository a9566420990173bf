//! What the journal adds up to: nothing at all, at the end of every day; and each payee's balance what his papers say.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use super::several_weeks::{WEEKS, cents, postings, several_weeks, whole_journal};

/// From before the first week until after the last.
fn days() -> impl Iterator<Item = jiff::civil::Date> {
    let first = jiff::civil::date(2026, 5, 30);
    first.series(jiff::Span::new().days(1)).take(40)
}

fn trial_balance(outfit: &Furnished, on: impl std::fmt::Display) -> Value {
    outfit.contractor.get(&format!("/v1/journal/trial-balance?on={on}")).expect(200)
}

fn balances(outfit: &Furnished, on: impl std::fmt::Display) -> Value {
    outfit.contractor.get(&format!("/v1/balances?on={on}")).expect(200)
}

/// What each account stands at by the trial balance, debits above zero.
fn by_account(balance: &Value) -> BTreeMap<String, i64> {
    let rows = balance["accounts"].as_array().expect("accounts").iter();
    rows.map(|row| {
        let (debit, credit) = (cents(&row["debit"]), cents(&row["credit"]));
        assert!(debit >= 0 && credit >= 0 && (debit == 0 || credit == 0), "{row:#}");
        (row["title"].as_str().expect("a title").to_owned(), debit - credit)
    })
    .collect()
}

#[test]
fn every_day_ends_with_equal_sides_and_with_what_the_entries_add_up_to() {
    let app = TestApp::start();
    for seed in 1..=3 {
        let outfit = several_weeks(&app, seed);
        let entries = whole_journal(&outfit.bookkeeper, 500);
        assert_eq!(entries.len(), WEEKS.len(), "{entries:#?}");
        for day in days() {
            let shown = trial_balance(&outfit, day);
            assert_eq!(shown["difference"], json!({"amount": "0.00", "currency": "USD"}), "{day}");
            assert_eq!(shown["debits"], shown["credits"], "{day}");
            let mut sums: BTreeMap<String, i64> = BTreeMap::new();
            for entry in entries.iter().filter(|one| one["dated"].as_str() <= Some(day.to_string().as_str()))
            {
                for (title, amount) in postings(entry) {
                    *sums.entry(title).or_default() += amount;
                }
            }
            let stands = by_account(&shown);
            assert_eq!(stands, sums, "{day}");
            assert_eq!(stands.values().sum::<i64>(), 0);
            let debits: i64 = stands.values().filter(|amount| **amount > 0).sum();
            assert_eq!(cents(&shown["debits"]), debits, "{day}");

            let balances = balances(&outfit, day);
            let of = |heading: &str| {
                let accounts = stands.iter().filter(|(title, _)| title.starts_with(heading));
                accounts.map(|(_, amount)| *amount).sum::<i64>()
            };
            assert_eq!(cents(&balances["owed_to_workers"]), -of("Liabilities:Wages payable:"), "{day}");
            assert_eq!(cents(&balances["owed_by_mills"]), of("Assets:Receivable:"), "{day}");
            for one in balances["items"].as_array().expect("items") {
                let name = one["payee"]["name"].as_str().expect("a name");
                let standing = match one["payee"].get("mill_id") {
                    Some(_) => stands[&format!("Assets:Receivable:{name}")],
                    None => -stands[&format!("Liabilities:Wages payable:{name}")],
                };
                assert_eq!(cents(&one["balance"]), standing, "{name} on {day}");
            }
        }
    }
}

#[test]
fn balances_are_what_the_statements_closed_with() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 7);
    for week in WEEKS {
        let settlement = format!("/v1/settlements?week_ends_on={week}&posted=true");
        let settlement = outfit.bookkeeper.get(&settlement).expect(200)["items"][0]["settlement_id"].clone();
        let path = format!("/v1/statements?settlement_id={}", settlement.as_str().expect("an id"));
        let statements = outfit.bookkeeper.get(&path).expect(200);
        let closed: BTreeMap<String, Value> = statements["items"]
            .as_array()
            .expect("items")
            .iter()
            .map(|one| (one["payee"].to_string(), one["closing"].clone()))
            .collect();
        let stands: BTreeMap<String, Value> = balances(&outfit, week)["items"]
            .as_array()
            .expect("items")
            .iter()
            .map(|one| (one["payee"].to_string(), one["balance"].clone()))
            .collect();
        for (payee, closing) in closed {
            assert_eq!(stands[&payee], closing, "{payee} in the week that ended on {week}");
        }
    }
}

/// A wrong ticket taken back, after its week was posted, brings every account back to nothing.
#[test]
fn what_is_taken_back_cancels_to_the_cent() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = ticket(&outfit, 1, "2026-06-03", &[log("17", "16"), log("13", "12")]);
    let wrong = outfit.scaler.post("/v1/tickets", &wrong).expect(201);
    let _posted = outfit.settle("2026-06-06");
    assert!(by_account(&trial_balance(&outfit, "2026-06-06")).values().all(|amount| *amount != 0));
    let void = json!({"reason": "scaled twice", "ticket": ticket(&outfit, 2, "2026-06-03", &[])});
    let path = format!("/v1/tickets/{}/corrections", wrong["ticket_id"].as_str().expect("an id"));
    let _void = outfit.scaler.post(&path, &void).expect(201);
    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let _posted = outfit.settle("2026-06-13");
    let after = trial_balance(&outfit, "2026-06-13");
    let accounts = by_account(&after);
    assert!(accounts.len() > 4 && accounts.values().all(|amount| *amount == 0), "{accounts:?}");
    assert_eq!(after["debits"]["amount"], "0.00");
    let [first, second] = whole_journal(&outfit.bookkeeper, 500).try_into().expect("two entries");
    let turned: Vec<_> = postings(&first).into_iter().map(|(title, amount)| (title, -amount)).collect();
    assert_eq!(postings(&second), turned);
    // And at the end of the earlier week it stands as it did.
    assert!(by_account(&trial_balance(&outfit, "2026-06-12")).values().any(|amount| *amount != 0));
}

#[test]
fn days_without_entries_days_to_come_and_today() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 11);
    let before = trial_balance(&outfit, "2025-12-31");
    assert_eq!((&before["accounts"], &before["debits"]["amount"]), (&json!([]), &json!("0.00")));
    assert_eq!(balances(&outfit, "2025-12-31")["items"], json!([]));
    let last = trial_balance(&outfit, "2026-06-27");
    for later in ["2026-12-31", "2027-01-01", "9999-12-31"] {
        let shown = trial_balance(&outfit, later);
        assert_eq!(shown["on"], later);
        assert_eq!(shown["accounts"], last["accounts"], "balances are carried over the end of the year");
    }
    // Where the outfit is it is still the evening before.
    app.clock.set("2026-07-01T02:30:00Z".parse().expect("a time"));
    for path in ["/v1/journal/trial-balance", "/v1/balances"] {
        assert_eq!(outfit.bookkeeper.get(path).expect(200)["on"], "2026-06-30", "{path}");
    }
    let none = outfit.bookkeeper.get("/v1/journal?from=2026-06-07&to=2026-06-12").expect(200);
    assert_eq!(none["items"], json!([]));
    let turned = outfit.bookkeeper.get("/v1/journal?from=2026-06-13&to=2026-06-06");
    let problem = turned.refuses(Code::WrongAddress);
    assert!(problem["detail"].as_str().is_some_and(|says| says.contains("2026-06-13")), "{problem:#}");
}

#[test]
fn the_journal_is_read_page_by_page_and_by_account() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 13);
    let whole = whole_journal(&outfit.bookkeeper, 500);
    for limit in [1, 2, 3] {
        assert_eq!(whole_journal(&outfit.bookkeeper, limit), whole, "{limit} on a page");
    }
    let found =
        |query: &str| outfit.bookkeeper.get(&format!("/v1/journal?{query}")).expect(200)["items"].clone();
    assert_eq!(found("from=2026-06-13&to=2026-06-20"), json!(whole[1..3]));
    for account in ["timber_income", "work_expense", "payable_to_worker"] {
        assert_eq!(found(&format!("account={account}")), json!(whole), "{account}");
    }
    for account in ["cash", "advance_to_worker", "holdback_payable", "wage_expense", "charges_recovered"] {
        assert_eq!(found(&format!("account={account}")), json!([]), "{account}");
    }
    for entry in &whole {
        let path = format!("/v1/journal/entries/{}", entry["journal_entry_id"].as_str().expect("an id"));
        assert_eq!(outfit.contractor.get(&path).expect(200), *entry);
    }
    let mill = &outfit.mill_id;
    assert_eq!(found(&format!("mill_id={mill}")), json!(whole));
    assert_eq!(found(&format!("mill_id={mill}&account=receivable_from_mill")), json!(whole));
    // Entries with the mill and with cash there may be, but none with the mill's account of cash.
    assert_eq!(found(&format!("mill_id={mill}&account=cash")), json!([]));
    assert_eq!(found("worker_id=01977000-0000-7000-8000-000000000099"), json!([]));
}
