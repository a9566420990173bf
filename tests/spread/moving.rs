//! One outfit moves from one cluster to another.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::json;
use tests::{Furnished, log, ticket};

use crate::proxy;
use crate::shards::{NAMES, Shards};

/// Whether the script has its program; says so where it has not.
fn psql_is_there() -> bool {
    let there =
        Command::new("psql").arg("--version").stdout(Stdio::null()).status().is_ok_and(|it| it.success());
    if !there {
        println!("skipped: there is no psql here");
    }
    there
}

fn move_outfit(shards: &Shards, outfit: &Furnished, from: usize, to: usize) -> Output {
    Command::new("bash")
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("spread/move_outfit.sh"))
        .arg(outfit.outfit.to_string())
        .args([shards.clusters[from].url(), shards.clusters[to].url()])
        .stdin(Stdio::null())
        .output()
        .expect("the script can be run")
}

#[test]
fn an_outfit_moves_with_everything_and_works_on() {
    if !proxy::is_there() || !psql_is_there() {
        return;
    }
    let shards = Shards::start();
    let (outfit, neighbour) = (shards.furnish(), shards.furnish());
    let _kept =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-05", &[log("16", "16")])).expect(201);
    let _posted = outfit.settle("2026-06-06");
    let (from, to) = (shards.place_of(outfit.outfit), (shards.place_of(outfit.outfit) + 1) % 3);
    let neighbours_place = shards.place_of(neighbour.outfit);
    let looked_at = [
        "/v1/tickets",
        "/v1/settlements",
        "/v1/statements",
        "/v1/journal",
        "/v1/balances",
        "/v1/seals",
        "/v1/audit/changes",
    ];
    let seen = || looked_at.map(|path| outfit.manager.get(path).text);
    let before = seen();
    let rows_before = shards.rows()[from][&outfit.outfit.to_string()];

    shards.proxy.places(outfit.outfit, "moving");
    let late = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 2, "2026-06-12", &[log("12", "16")]));
    assert_eq!((late.status, late.header("retry-after")), (503, Some("5")), "{}", late.text);
    let _works_on = neighbour.manager.post("/v1/workers", &json!({"name": "A newcomer"})).expect(201);
    let moved = move_outfit(&shards, &outfit, from, to);
    assert!(moved.status.success(), "{}", String::from_utf8_lossy(&moved.stderr));
    shards.proxy.places(outfit.outfit, NAMES[to]);
    // Moving takes time: ids of the other instance come behind those that were moved.
    shards.clock.advance(jiff::SignedDuration::from_secs(1)).expect("a time");

    // Everything is there, in the same order, and what was not taken on the move is taken now.
    assert_eq!(seen(), before);
    // The other database notes late changes by itself while records come in: there may be more of those.
    let rows_now = shards.rows()[to][&outfit.outfit.to_string()];
    assert!((rows_before..=rows_before + 3).contains(&rows_now), "{rows_before} rows became {rows_now}");
    let _taken =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 2, "2026-06-12", &[log("12", "16")])).expect(201);
    let again = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-05", &[log("16", "16")]));
    assert_eq!(again.header("replayed"), Some("true"), "what was kept before the move is known");
    // Settling computes the week that was posted before the move again, and it comes out the same.
    let _posted = outfit.settle("2026-06-13");
    let checked = outfit.contractor.get("/v1/seals").expect(200);
    let newest = checked["items"].as_array().and_then(|seals| seals.last()).expect("a seal");
    let path = format!("/v1/seals/{}/check", newest["statement"]["seal_id"].as_str().expect("an id"));
    assert_eq!(outfit.contractor.get(&path).expect(200)["sound"], true, "the seal made before still holds");

    // Nothing of it is to be had any more where it was, and it takes nothing.
    let stray = shards.services[from].member(outfit.outfit, wire::Role::Manager, None);
    assert!(stray.get("/v1/outfit").status >= 400);
    assert!(stray.post("/v1/workers", &json!({"name": "Somebody"})).status >= 400);
    assert_eq!(shards.place_of(neighbour.outfit), neighbours_place);
    // Sent back it is refused: the rows that it left are still there.
    let back = move_outfit(&shards, &outfit, to, from);
    assert!(!back.status.success());
    let _works_on = outfit.manager.post("/v1/workers", &json!({"name": "A newcomer"})).expect(201);
}
