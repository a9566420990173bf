//! Four weeks of an outfit's work that come out of a seed, with a late ticket and two corrections: something to keep
//! books about.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};

/// The days on which the weeks end.
pub const WEEKS: [&str; 4] = ["2026-06-06", "2026-06-13", "2026-06-20", "2026-06-27"];

/// Numbers that look random and are the same in every run (a linear congruence with Knuth's MMIX constants).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

/// Furnishes an outfit and does four weeks of work, all of them posted.
pub fn several_weeks(app: &TestApp, seed: u64) -> Furnished {
    let outfit = Furnished::new(app);
    let mut chance = Chance(seed);
    let mut number = 0;
    let mut wrong = Vec::new();
    app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
    for (week, ends_on) in WEEKS.into_iter().enumerate() {
        let monday = 1 + 7 * week;
        for _ in 0..=chance.below(3) {
            number += 1;
            let day = format!("2026-06-{:02}", monday + usize::try_from(chance.below(5)).expect("a day"));
            let id = post(&outfit.scaler, &ticket(&outfit, number, &day, &logs(&mut chance)));
            wrong.push((id, day));
        }
        if week == 1 {
            // Of the first week, and late.
            number += 1;
            let late = ticket(&outfit, number, "2026-06-04", &logs(&mut chance));
            let _id = post(&outfit.scaler, &late);
        }
        if week >= 2 {
            // The oldest ticket was wrong: once it is scaled again, once it never was.
            let (id, day) = wrong.remove(0);
            number += 1;
            let pieces = if week == 2 { logs(&mut chance) } else { Vec::new() };
            let right = json!({"reason": "scaled anew", "ticket": ticket(&outfit, number, &day, &pieces)});
            let _right = outfit.scaler.post(&format!("/v1/tickets/{id}/corrections"), &right).expect(201);
        }
        let _posted = outfit.settle(ends_on);
    }
    outfit
}

fn logs(chance: &mut Chance) -> Vec<Value> {
    let one = |chance: &mut Chance| {
        let (diameter, length) = (8 + chance.below(20), 8 + 2 * chance.below(5));
        log(&diameter.to_string(), &length.to_string())
    };
    (0..=chance.below(6)).map(|_| one(chance)).collect()
}

fn post(scaler: &Actor, ticket: &Value) -> String {
    let accepted = scaler.post("/v1/tickets", ticket).expect(201);
    accepted["ticket_id"].as_str().expect("an id").to_owned()
}

/// Cents of an amount of money, or of its text.
pub fn cents(amount: &Value) -> i64 {
    let text = amount.as_str().or_else(|| amount["amount"].as_str());
    let text = text.unwrap_or_else(|| panic!("no amount: {amount}"));
    let (whole, decimals) = text.split_once('.').expect("two decimals");
    assert_eq!(decimals.len(), 2, "{text}");
    let figure: i64 = format!("{whole}{decimals}").parse().expect("a number");
    figure
}

/// Every entry of the journal, page by page.
pub fn whole_journal(actor: &Actor, limit: u16) -> Vec<Value> {
    let mut entries = Vec::new();
    let mut after = String::new();
    loop {
        let page = actor.get(&format!("/v1/journal?limit={limit}{after}")).expect(200);
        entries.extend(page["items"].as_array().expect("items").clone());
        match page["next"].as_str() {
            Some(next) => after = format!("&after={next}"),
            None => return entries,
        }
    }
}

/// Every posting of an entry: the account's title, and cents that are above zero for a debit.
pub fn postings(entry: &Value) -> Vec<(String, i64)> {
    let all = entry["postings"].as_array().expect("postings").iter();
    all.map(|one| {
        let title = one["title"].as_str().expect("a title").to_owned();
        match (one.get("debit"), one.get("credit")) {
            (Some(debit), None) => (title, cents(debit)),
            (None, Some(credit)) => (title, -cents(credit)),
            _ => panic!("a debit or a credit: {one:#}"),
        }
    })
    .collect()
}
