//! A week that counts what a check scale changed, computed again; and that change tampered with.

use serde_json::{Value, json};
use tests::{Inspector, TestApp};

use crate::check_scales::{Yard, again, inches, two_percent};
use crate::world::text;

/// The differences of a posted week as (pointer, stored, derived), without ids.
fn differences(yard: &Yard, posted: &Value) -> Vec<String> {
    let path = format!("/v1/settlements/{}/rederivation", text(posted, "settlement_id"));
    let done = yard.outfit.contractor.get(&path).expect(200);
    assert_eq!(done["agrees"], done["difference_count"] == 0, "{done:#}");
    let value = |one: &Value| one.as_str().unwrap_or("-").to_owned();
    let listed = done["differences"].as_array().cloned().unwrap_or_default();
    let told = |one: &Value| {
        let pointer = text(one, "pointer");
        let place = pointer.split('/').filter(|part| part.len() < 36).collect::<Vec<_>>().join("/");
        format!("{place}: {} {}", value(&one["stored"]), value(&one["derived"]))
    };
    listed.iter().map(told).collect()
}

/// 2,000 board feet in the first week and 1,000 in the second at 10 a thousand, of which the check leaves nine tenths.
#[test]
fn adjustments_are_worked_out_again_and_their_changes_are_found() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let first = yard.post(1, "2026-06-03", &[50, 50, 50, 50]);
    let _second = yard.post(2, "2026-06-10", &[50, 50]);
    let before = yard.outfit.settle("2026-06-06");
    let path = yard.file(&[again(&first, 1, &inches(45)), again(&first, 2, &inches(45))]);
    app.clock.set("2026-06-16T13:00:00Z".parse().expect("a time"));
    let sent = json!({"reason": "ten percent too much"});
    let adjusted = yard.outfit.bookkeeper.post(&format!("{path}/adjustments"), &sent).expect(201);
    let posted = yard.outfit.settle("2026-06-13");
    // What was filed since is no difference of the week before, nor is what is taken back after the posting.
    let back = format!("/v1/volume-adjustments/{}/reversal", text(&adjusted, "volume_adjustment_id"));
    let _back = yard.outfit.bookkeeper.post(&back, &json!({"reason": "the stick was bent"})).expect(201);
    assert_eq!(differences(&yard, &before), Vec::<String>::new());
    assert_eq!(differences(&yard, &posted), Vec::<String>::new());

    let database = Inspector::connect(&app.database.url());
    database.open_books_of(yard.outfit.outfit);
    let tamper = |table: &str, change: &str| {
        let guards = |set: &str| format!("ALTER TABLE {table} {set} TRIGGER USER");
        let change = format!("BEGIN; {}; {change}; {}; COMMIT", guards("DISABLE"), guards("ENABLE"));
        let _none = database.ask(&change);
    };
    // A quantity that is not what was held × (ratio - 1).
    let quantity = "volume_adjustment_quantity";
    tamper(
        quantity,
        "UPDATE volume_adjustment_quantity SET quantity = -50000000 WHERE quantity = -100000000",
    );
    assert_eq!(differences(&yard, &posted), ["/lines/2/adjusted: -50 -100"]);
    tamper(
        quantity,
        "UPDATE volume_adjustment_quantity SET quantity = -100000000 WHERE quantity = -50000000",
    );
    // A day that is gone: the line that counted it has nothing of it, and its figures come to more.
    tamper(quantity, "DELETE FROM volume_adjustment_quantity WHERE quantity = -100000000");
    let found = differences(&yard, &posted);
    assert!(found.contains(&"/lines/2/quantity: 900 1000".to_owned()), "{found:?}");
    assert!(found.iter().any(|one| one.starts_with("/lines/2/counted")), "{found:?}");
    assert!(found.iter().any(|one| one.starts_with("/volume-adjustments/weeks")), "{found:?}");
}
