//! Pay followed in both directions: what pieces bring, as it is told upward, sums to what lines say downward.

use std::collections::BTreeMap;

use kernel::{Exact, Fixed};
use serde_json::Value;
use settlement::RateUnit;

use crate::Actor;

/// A line by its settlement and its number there.
type Place = (String, i64);

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_owned()
}

fn list<'a>(body: &'a Value, member: &str) -> &'a [Value] {
    body[member].as_array().map_or(&[], Vec::as_slice)
}

fn exact(value: &Value) -> Exact {
    serde_json::from_value(value.clone()).unwrap_or_else(|error| panic!("{value}: {error}"))
}

/// The items of a list, page by page.
fn all(asker: &Actor, path: &str) -> Vec<Value> {
    let mut items = Vec::new();
    let mut after = String::new();
    loop {
        let page = asker.get(&format!("{path}limit=500{after}")).expect(200);
        items.extend_from_slice(list(&page, "items"));
        match page["next"].as_str() {
            Some(next) => after = format!("&after={next}"),
            None => return items,
        }
    }
}

/// What check scales changed of a line's quantity; nothing where it names none.
fn adjusted(asker: &Actor, path: &str, line: &Value) -> Exact {
    let named = ["entered_adjustments", "withdrawn_adjustments"].iter().any(|list| line.get(*list).is_some());
    if !named {
        return Exact::ZERO;
    }
    let explained = asker.get(path).expect(200);
    list(&explained, "adjustments").iter().fold(Exact::ZERO, |sum, one| {
        let part = exact(&one["quantity"]);
        let sum = if one["withdrawn"] == true { sum.minus(part) } else { sum.plus(part) };
        sum.expect("a sum")
    })
}

/// For every posted line, the exact money of the pieces that it counts, less that of the pieces that it takes back, is
/// quantity × price ÷ unit of the line, to the last digit; and so are their quantities the line's.
///
/// # Panics
///
/// When they are not.
pub fn pieces_sum_to_lines(asker: &Actor) {
    let mut brought: BTreeMap<Place, (Exact, Exact)> = BTreeMap::new();
    for ticket in all(asker, "/v1/tickets?pieces=none&") {
        let path = format!("/v1/tickets/{}/explanation", text(&ticket["ticket_id"]));
        let explained = asker.get(&path).expect(200);
        let tasks = list(&explained, "pieces").iter().flat_map(|piece| list(piece, "tasks"));
        let rates = tasks.flat_map(|task| list(task, "under")).flat_map(|under| list(under, "rates"));
        for rate in rates {
            for step in list(rate, "history") {
                let place = (text(&step["settlement_id"]), step["line_number"].as_i64().expect("a number"));
                let (quantity, money) = brought.entry(place).or_insert((Exact::ZERO, Exact::ZERO));
                let add = |sum: Exact, part: Exact| match text(&step["event"]).as_str() {
                    "posted" => sum.plus(part).expect("a sum"),
                    "taken_back" => sum.minus(part).expect("a difference"),
                    other => panic!("{other} is no event"),
                };
                *quantity = add(*quantity, exact(&rate["quantity"]));
                *money = add(*money, exact(&rate["exact_amount"]));
            }
        }
    }
    for settlement in all(asker, "/v1/settlements?posted=true&") {
        let id = text(&settlement["settlement_id"]);
        let whole = asker.get(&format!("/v1/settlements/{id}")).expect(200);
        for line in list(&whole, "lines").iter().filter(|line| line.get("worker_id").is_none()) {
            let number = line["number"].as_i64().expect("a number");
            let mut found = brought.remove(&(id.clone(), number)).unwrap_or((Exact::ZERO, Exact::ZERO));
            let figure = |member: &str| -> Fixed { text(&line[member]).parse().expect("a figure") };
            let unit: RateUnit = serde_json::from_value(line["unit"].clone()).expect("a unit");
            let quantity = figure("quantity").exact();
            let worth = |quantity: Exact| {
                let money = quantity.times(figure("price").exact()).expect("a product");
                money.over(Exact::of(unit.counted_per_unit().into())).expect("a quotient")
            };
            let money = worth(quantity);
            // What a check scale changed is of no piece.
            let adjusted = adjusted(asker, &format!("/v1/settlements/{id}/lines/{number}"), line);
            found = (found.0.plus(adjusted).expect("a sum"), found.1.plus(worth(adjusted)).expect("a sum"));
            assert_eq!(found, (quantity, money), "{line:#}");
        }
    }
    assert!(brought.is_empty(), "pieces are told to be on lines that are not there: {brought:?}");
}
