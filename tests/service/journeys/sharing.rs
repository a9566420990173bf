//! Crews that share equally, by hours, or by parts that change within a week.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

struct Yard {
    app: TestApp,
    outfit: Furnished,
    /// The two sawyers and another hand.
    hands: Vec<Value>,
}

impl Yard {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let crews = outfit.manager.get("/v1/crews").expect(200);
        let crews = crews["items"].as_array().expect("crews");
        let felling = crews.iter().find(|one| one["crew_id"] == *outfit.felling_crew).expect("the crew");
        let shares = felling["share_sets"][0]["shares"].as_array().expect("shares");
        let mut hands: Vec<Value> = shares.iter().map(|share| share["worker_id"].clone()).collect();
        let hand = outfit.manager.post("/v1/workers", &json!({"name": "Third sawyer"})).expect(201);
        hands.push(hand["worker_id"].clone());
        Self { app, outfit, hands }
    }

    fn share(&self, from: &str, method: &str, shares: &Value) -> Value {
        let set = json!({"effective_from": from, "method": method, "shares": shares});
        let path = format!("/v1/crews/{}/share-sets", self.outfit.felling_crew);
        self.outfit.bookkeeper.post(&path, &set).expect(201)
    }

    /// A log of 160 board feet, felled on a day: 1.6016 at 10.01 a thousand.
    fn fell(&self, number: u32, day: &str, logs: usize) {
        let sent = ticket(&self.outfit, number, day, &vec![log("16", "16"); logs]);
        let _accepted = self.outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }

    fn worked(&self, hand: usize, day: &str, hours: &str) -> Value {
        let entry = json!({"worker_id": self.hands[hand], "worked_on": day, "hours": hours,
                           "what_for": {"kind": "piece_work"}});
        self.outfit.bookkeeper.post("/v1/time-entries", &entry).expect(201)
    }

    /// What each hand gets of the felling, over all lines of a settlement, in cents.
    fn cents(&self, settlement: &Value) -> Vec<i64> {
        let lines = settlement["lines"].as_array().expect("lines").iter();
        let felling: Vec<&Value> = lines.filter(|line| line["task"] == "felling").collect();
        let of = |hand: &Value| {
            felling
                .iter()
                .flat_map(|line| line["by_payee"].as_array().expect("payees"))
                .filter(|one| one["payee"]["worker_id"] == *hand)
                .map(|one| one["amount"]["amount"].as_str().expect("a text").replace('.', ""))
                .map(|cents| cents.parse::<i64>().expect("cents"))
                .sum()
        };
        self.hands.iter().map(of).collect()
    }
}

#[test]
fn a_member_who_joins_or_leaves_within_the_week_shares_from_his_day_on() {
    let yard = Yard::new();
    let member = |hand: usize| json!({"worker_id": yard.hands[hand]});
    // Monday two, from Wednesday all three, from Friday the first has left.
    let _three = yard.share("2026-06-03", "equally", &json!([member(0), member(1), member(2)]));
    let _two = yard.share("2026-06-05", "equally", &json!([member(1), member(2)]));
    for (number, day) in [(1, "2026-06-01"), (2, "2026-06-03"), (3, "2026-06-05")] {
        yard.fell(number, day, 6);
    }
    let posted = yard.outfit.settle("2026-06-06");
    // 960 board feet a day, 9.6096: 9.61 each. 4.81 + 4.80, then 3.21 + 3.20 + 3.20, then 4.81 + 4.80.
    assert_eq!(yard.cents(&posted), [481 + 321, 480 + 320 + 481, 320 + 480]);
    let sets = yard.outfit.manager.get("/v1/crews").expect(200);
    let felling = sets["items"].as_array().expect("crews");
    let felling = felling.iter().find(|one| one["crew_id"] == *yard.outfit.felling_crew).expect("the crew");
    assert_eq!(felling["share_sets"][0]["method"], "parts");
    assert_eq!(felling["share_sets"][0]["shares"][0]["parts"], "1");
    assert_eq!(felling["share_sets"][1]["method"], "equally");
    assert!(felling["share_sets"][1]["shares"][0].get("parts").is_none());
}

#[test]
fn a_crew_shares_each_days_work_by_its_hours_and_again_when_hours_change() {
    let yard = Yard::new();
    let members = json!([{"worker_id": yard.hands[0]}, {"worker_id": yard.hands[1]}]);
    let _set = yard.share("2026-06-01", "by_hours", &members);
    yard.fell(1, "2026-06-02", 6);
    yard.fell(2, "2026-06-03", 3);
    let wrong = yard.worked(0, "2026-06-02", "8");
    let _half = yard.worked(1, "2026-06-02", "4");
    let draft = json!({"week_ends_on": "2026-06-06"});
    let refused = yard.outfit.bookkeeper.post("/v1/settlements", &draft);
    let problem = refused.refused(Code::NoHours);
    let detail = problem["detail"].as_str().expect("a text");
    assert!(detail.contains("Felling crew") && detail.contains("2026-06-03"), "{detail}");
    let _alone = yard.worked(1, "2026-06-03", "9.25");
    let posted = yard.outfit.settle("2026-06-06");
    // 960 × 8/12 = 640 to the one; 320 + 480 to the other: of 14.41 cents 6.404… and 8.005….
    assert_eq!(yard.cents(&posted), [640, 801, 0]);
    let line = &posted["lines"][0];
    let parts: Vec<_> =
        line["parts_by_hours"].as_array().expect("parts").iter().map(|one| &one["parts"]).collect();
    assert_eq!(parts, ["640", "800"]);

    let mut right = json!({"worker_id": yard.hands[0], "worked_on": "2026-06-02", "hours": "4",
                           "what_for": {"kind": "piece_work"}});
    right["corrects"] = json!({"time_entry_id": wrong["time_entry_id"], "reason": "he went home at noon"});
    let _right = yard.outfit.bookkeeper.post("/v1/time-entries", &right).expect(201);
    let id = posted["settlement_id"].as_str().expect("an id");
    let explained = yard.outfit.contractor.get(&format!("/v1/settlements/{id}/lines/1")).expect(200);
    assert_eq!(explained["split"][0]["parts"], "640");
    assert_eq!(explained["split"][0]["amount"]["amount"], "6.40");

    yard.app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let next = yard.outfit.settle("2026-06-13");
    // 480 and 960 of 1440: a third and two thirds of 14.41.
    assert_eq!(yard.cents(&next), [480 - 640, 961 - 801, 0]);
    assert_eq!(next["lines"][0]["kind"], "adjustment");
    assert_eq!(next["lines"][0]["amount"]["amount"], "0.00");
}

#[test]
fn parts_belong_to_the_method_that_has_them() {
    let yard = Yard::new();
    let path = format!("/v1/crews/{}/share-sets", yard.outfit.felling_crew);
    let one = |parts: Option<&str>| match parts {
        Some(parts) => json!([{"worker_id": yard.hands[0], "parts": parts}]),
        None => json!([{"worker_id": yard.hands[0]}]),
    };
    let table = [
        ("parts", one(None)),
        ("equally", one(Some("1"))),
        ("by_hours", one(Some("1"))),
        ("parts", one(Some("0"))),
    ];
    for (method, shares) in table {
        let set = json!({"effective_from": "2026-06-01", "method": method, "shares": shares});
        let refused = yard.outfit.bookkeeper.post(&path, &set);
        assert_eq!(refused.refused(Code::WrongForm)["errors"][0]["pointer"], "#/shares/0/parts", "{method}");
    }
}
