//! The stages worked out again from the tickets as HTTP shows them, piece by piece in the plainest way: neither the
//! service's SQL nor any of its code has a part in it.

use std::collections::BTreeMap;

use serde_json::Value;
use tests::Actor;

/// Every item of a list, over all of its pages.
pub fn all(actor: &Actor, path: &str) -> Vec<Value> {
    let mark = if path.contains('?') { '&' } else { '?' };
    let mut items = Vec::new();
    let mut after = String::new();
    loop {
        let page = actor.get(&format!("{path}{mark}limit=3{after}")).expect(200);
        items.extend(page["items"].as_array().expect("items").clone());
        match page["next"].as_str() {
            Some(next) => after = format!("&after={next}"),
            None => return items,
        }
    }
}

/// A figure in millionths; figures that are not there count nothing.
pub fn millionths(figure: &Value) -> i64 {
    let Some(text) = figure.as_str() else { return 0 };
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = format!("{whole}{part:0<6}");
    digits.parse().expect("a figure of six places at the most")
}

/// A stage, product, species, and the title of the contract on whose scale, its unit, whether it is its own.
pub type Key = (String, String, String, Option<(String, String, bool)>);

/// Pieces, culls, gross, net.
pub type Figures = (i64, i64, i64, i64);

/// Who a contract is with: an id of a crew or of a mill.
fn parties(actor: &Actor) -> BTreeMap<String, String> {
    all(actor, "/v1/contracts")
        .iter()
        .map(|one| {
            let party = one["party"].as_object().expect("a party").values().next().expect("an id");
            (
                one["contract_id"].as_str().expect("an id").to_owned(),
                party.as_str().expect("an id").to_owned(),
            )
        })
        .collect()
}

/// On whose scale a piece of a ticket stands: `doers` are the crews that did the work, or the mill.
fn scale(
    ticket: &Value,
    piece: usize,
    doers: &[&str],
    parties: &BTreeMap<String, String>,
) -> Option<(Value, Value, bool)> {
    let mills: Vec<&str> = ticket["ticket"]["delivered_to"].as_str().into_iter().collect();
    let mut contracts: Vec<&Value> = ticket["scaled"].as_array().into_iter().flatten().collect();
    contracts.sort_by_key(|one| one["contract_id"].as_str());
    let measured = |one: &&Value| one["pieces"][piece].get("unit").is_some();
    let with = |one: &&Value, party: &[&str]| {
        party.contains(&parties[one["contract_id"].as_str().expect("an id")].as_str())
    };
    let choices: [&dyn Fn(&&Value) -> bool; 3] =
        [&|one| with(one, doers), &|one| with(one, &mills), &|_| true];
    choices.iter().enumerate().find_map(|(choice, fits)| {
        let found = contracts.iter().copied().find(|one| measured(one) && fits(one))?;
        Some((found.clone(), found["pieces"][piece].clone(), choice == 0))
    })
}

/// The stages of these tickets.
pub fn stages(actor: &Actor, tickets: &[Value]) -> BTreeMap<Key, Figures> {
    let parties = parties(actor);
    let mut sums: BTreeMap<Key, Figures> = BTreeMap::new();
    for ticket in tickets {
        let facts = &ticket["ticket"];
        for (place, piece) in facts["pieces"].as_array().expect("pieces").iter().enumerate() {
            let number = place + 1;
            let doers = |task: &str| -> Vec<&str> {
                let entries = facts["work"].as_array().expect("work").iter();
                entries
                    .filter(|one| one["task"] == task)
                    .filter(|one| {
                        one["pieces"].as_array().expect("spelled out").iter().any(|one| *one == number)
                    })
                    .map(|one| one["crew_id"].as_str().expect("an id"))
                    .collect()
            };
            let mut passed: Vec<(&str, Vec<&str>)> =
                [("felled", "felling"), ("hewn", "hewing"), ("skidded", "skidding"), ("hauled", "hauling")]
                    .into_iter()
                    .map(|(stage, task)| (stage, doers(task)))
                    .filter(|(_, doers)| !doers.is_empty())
                    .collect();
            passed.extend(facts["delivered_to"].as_str().map(|mill| ("delivered", vec![mill])));
            for (stage, doers) in passed {
                let scale = scale(ticket, place, &doers, &parties);
                let text = |value: &Value| value.as_str().expect("a text").to_owned();
                let key = (
                    stage.to_owned(),
                    text(&piece["product"]),
                    text(&piece["species"]).to_lowercase(),
                    scale.as_ref().map(|(contract, volume, own)| {
                        (text(&contract["contract_title"]), text(&volume["unit"]), *own)
                    }),
                );
                let sum = sums.entry(key).or_default();
                sum.0 += 1;
                if let Some((_, volume, _)) = scale {
                    sum.1 += i64::from(volume.get("cull").is_some());
                    sum.2 += millionths(&volume["gross"]);
                    sum.3 += millionths(&volume["net"]);
                }
            }
        }
    }
    sums
}

/// A row as it was answered, in the same form.
pub fn key(row: &Value) -> Key {
    let text = |value: &Value| value.as_str().expect("a text").to_owned();
    let scale = row.get("scaled_by").map(|scale| {
        (text(&scale["contract_title"]), text(&scale["unit"]), scale["own"].as_bool().expect("yes or no"))
    });
    (text(&row["stage"]), text(&row["product"]), text(&row["species"]), scale)
}

/// Its figures.
pub fn figures(row: &Value) -> Figures {
    let count = |member: &str| row[member].as_i64().unwrap_or(0);
    (count("pieces"), count("culls"), millionths(&row["gross"]), millionths(&row["net"]))
}

/// Rows as they were answered; none may stand twice.
pub fn answered(rows: &Value) -> BTreeMap<Key, Figures> {
    let rows = rows.as_array().expect("rows");
    let by_key: BTreeMap<_, _> = rows.iter().map(|row| (key(row), figures(row))).collect();
    assert_eq!(by_key.len(), rows.len(), "a row stands twice: {rows:#?}");
    by_key
}
