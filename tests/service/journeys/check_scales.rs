//! A lot scaled again: both scales side by side, the sampling error, the verdict, and who sees what of it.

use serde_json::{Value, json};
use tests::{TestApp, log};
use wire::{Code, Role};

use crate::check_scales::{Yard, again, inches, two_percent};
use crate::world::text;

/// Three sticks of a lot of 60,000 board feet, as the constructed example K49 has them: 500, 500 and 320 by the scaler, 480,
/// 510 and 300 by the checker; ratio 0.977273, and the lot comes to 58,636.3636. The formulas of ratio and variance are from
/// memory (Freese, Elementary Forest Sampling); the crate `audit` holds them against a general statistics library.
fn three_of_sixty_thousand(yard: &Yard) -> (String, String) {
    let first = yard.post(1, "2026-06-03", &[50, 50, 32]);
    let mut rest = vec![50; 57];
    rest.extend([34, 34]);
    let second = yard.post(2, "2026-06-04", &rest);
    let _third = yard.post(3, "2026-06-10", &[50; 59]);
    // After the lot.
    let _later = yard.post(4, "2026-06-14", &[50]);
    (first, second)
}

fn three_again(first: &str) -> Vec<Value> {
    [48, 51, 30]
        .iter()
        .zip(1_u16..)
        .map(|(diameter, piece)| again(first, piece, &inches(*diameter)))
        .collect()
}

#[test]
fn a_ratio_stands_for_the_lot_with_its_error() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let (first, _) = three_of_sixty_thousand(&yard);
    let path = yard.file(&three_again(&first));
    let shown = yard.outfit.contractor.get(&path).expect(200);
    let logs = &shown["strata"][0];
    assert_eq!((&logs["lot_pieces"], &logs["lot_net"]), (&json!(121), &json!("60000")));
    assert_eq!((&logs["original"]["net"], &logs["check"]["net"]), (&json!("1320"), &json!("1290")));
    assert_eq!(
        (&logs["original"]["length"], &logs["original"]["defect_percent"]),
        (&json!("48"), &json!("0"))
    );
    let net = &logs["net_ratio"];
    assert_eq!((&net["ratio"], &net["estimate"]), (&json!("0.977273"), &json!("58636.363636")));
    // By hand: residuals -8.6364, 21.3636, -12.7273 square to 692.9752; ÷ (3 × 2) ÷ 440² × (1 - 3/121).
    assert_eq!(net["standard_error"], "0.02412");
    // t of two degrees of freedom is 4.3027 at 95 percent and 2.9200 at 90.
    assert_eq!((&net["from"], &net["to"]), (&json!("0.873492"), &json!("1.081054")));
    let ninety = yard.outfit.contractor.get(&format!("{path}?confidence=90")).expect(200);
    assert_eq!(ninety["strata"][0]["net_ratio"]["from"], "0.906842");
    assert_eq!((&shown["confidence_percent"], &ninety["confidence_percent"]), (&json!(95), &json!(90)));
    let advice = &logs["advice"];
    // (4.3027 × 4.3289 ÷ 2.5)² = 55.51; ÷ (1 + 55.51 ÷ 121) = 38.05, raised.
    assert_eq!((&advice["variation_percent"], &advice["needed"]), (&json!("4.3289"), &json!(39)));
    let loose = yard.outfit.contractor.get(&format!("{path}?allowed_error=20")).expect(200);
    assert_eq!(loose["strata"][0]["advice"]["needed"], 1);
    let points = json!([
        {"product": "log", "unit": "board_foot", "original": "500", "check": "480"},
        {"product": "log", "unit": "board_foot", "original": "500", "check": "510"},
        {"product": "log", "unit": "board_foot", "original": "320", "check": "300"}
    ]);
    assert_eq!(shown["points"], points);
    let finding = &logs["findings"][0];
    assert_eq!(
        (&finding["difference"], &finding["percent_of_original"], &finding["percent_of_check"]),
        (&json!("-30"), &json!("-2.2727"), &json!("-2.3256"))
    );
    assert_eq!((&shown["verdict"]["outcome"], &finding["outcome"]), (&json!("beyond"), &json!("beyond")));
    assert_eq!(shown["verdict"]["follows"], "adjust_by_difference");
    // 60,000 × (43/44 - 1) at 10 a thousand.
    let money = &shown["money"];
    assert_eq!(
        (&money["lines"][0]["quantity"], &money["lines"][0]["change"]),
        (&json!("60000"), &json!("-1363.636363"))
    );
    assert_eq!((&money["amount"]["amount"], &money["asked_for"]), (&json!("-13.64"), &json!(true)));
    assert!(shown["cautions"].to_string().contains("contract"), "{shown:#}");
}

#[test]
fn the_working_of_both_scales_is_there_when_it_is_asked_for() {
    let app = TestApp::start();
    let yard = Yard::new(&app, None);
    let ticket = yard.post(1, "2026-06-03", &[50]);
    let path = yard.file(&[again(&ticket, 1, &inches(48))]);
    let shown = yard.outfit.scaler.get(&format!("{path}?working=true")).expect(200);
    let piece = &shown["pieces"][0];
    assert!(piece["original"]["working"].to_string().contains("50 inches by 16 feet"), "{piece:#}");
    assert!(piece["check"]["working"].to_string().contains("48 inches by 16 feet"), "{piece:#}");
    let plain = yard.outfit.scaler.get(&path).expect(200);
    assert!(plain["pieces"][0]["original"].get("working").is_none());
    // A single stick has a ratio and no error; and the contract states no tolerance.
    let ratio = &plain["strata"][0]["net_ratio"];
    assert_eq!((&ratio["ratio"], ratio.get("standard_error")), (&json!("0.96"), None));
    assert!(plain["verdict"].get("outcome").is_none() && plain["verdict"].get("tolerance").is_none());
}

#[test]
fn missing_sticks_and_those_too_many_count_and_other_species_are_told() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let ticket = yard.post(1, "2026-06-03", &[50, 40, 30, 30]);
    let mut spruce = inches(50);
    spruce["species"] = json!("spruce");
    spruce["grade"] = json!("2");
    let facts = inches(20);
    let path = yard.file(&[
        again(&ticket, 1, &spruce),
        json!({"ticket_id": ticket, "found": {"missing": {"piece": 2}}}),
        json!({"ticket_id": ticket, "found": {"one_too_many": {"facts": facts}}}),
    ]);
    let shown = yard.outfit.bookkeeper.get(&path).expect(200);
    let logs = &shown["strata"][0];
    assert_eq!((&logs["original"]["pieces"], &logs["check"]["pieces"]), (&json!(2), &json!(2)));
    // 500 and 400 on the ticket, 500 and 200 in the pile.
    assert_eq!(logs["net_ratio"]["ratio"], "0.777778");
    assert_eq!(logs["agreement"], json!({"pieces": 1, "species": 0, "grade": 0}));
    let by_species = logs["by_species"].as_array().expect("species");
    let totals = |name: &str| {
        let group = by_species.iter().find(|one| one["name"] == name).expect("the species");
        (group["original"]["net"].clone(), group["check"]["net"].clone())
    };
    assert_eq!(totals("white pine"), (json!("900"), json!("200")));
    assert_eq!(totals("spruce"), (json!("0"), json!("500")));
    assert_eq!(shown["pieces"][1].get("check"), None);
    assert_eq!((shown["pieces"][2].get("original"), shown["pieces"][2].get("piece")), (None, None));
}

/// Each published tolerance at its limit, just under and just over it, in both directions. Board feet by the scaler and by
/// the checker, each of one log or two.
#[test]
fn every_published_tolerance_at_its_limit() {
    let app = TestApp::start();
    let yard = Yard::new(&app, None);
    let cases: [(&str, &[u32], &[u32], &str); 17] = [
        // Of the check, for sound timber: 2 percent of 500 is 10.
        ("net_by_defect", &[49], &[50], "within"),
        ("net_by_defect", &[51], &[50], "within"),
        ("net_by_defect", &[48], &[49], "beyond"),
        ("net_by_defect", &[50], &[49], "beyond"),
        // Gross 1 percent of the check: 1,000 and 990.
        ("gross_one_net_two_percent", &[49, 50], &[50, 50], "within"),
        ("gross_one_net_two_percent", &[51, 50], &[50, 50], "within"),
        ("gross_one_net_two_percent", &[49, 49], &[50, 49], "beyond"),
        // 5 percent of 400 is 20, and that much trips; nothing is provided for as much below.
        ("adjusted_from_five_percent", &[40], &[42], "beyond"),
        ("adjusted_from_five_percent", &[41], &[43], "within"),
        ("adjusted_from_five_percent", &[40], &[38], "not_provided_for"),
        ("adjusted_from_five_percent", &[41], &[39], "within"),
        // 10 percent of 400 is 40: more than that trips.
        ("replaced_beyond_ten_percent", &[40], &[44], "within"),
        ("replaced_beyond_ten_percent", &[40], &[36], "within"),
        ("replaced_beyond_ten_percent", &[39], &[43], "beyond"),
        // 3 percent of 1,000 is 30: more than that trips.
        ("scaled_again_beyond_three_percent", &[50, 50], &[51, 52], "within"),
        ("scaled_again_beyond_three_percent", &[50, 50], &[50, 47], "within"),
        ("scaled_again_beyond_three_percent", &[50, 50], &[52, 52], "beyond"),
    ];
    for ((published, original, check, outcome), number) in cases.into_iter().zip(1_u32..) {
        yard.terms(Some(json!({"published": published})), "10");
        let ticket = yard.post(number, "2026-06-03", original);
        let pieces: Vec<Value> =
            check.iter().zip(1_u16..).map(|(one, piece)| again(&ticket, piece, &inches(*one))).collect();
        let shown = yard.outfit.bookkeeper.get(&yard.file(&pieces)).expect(200);
        let verdict = &shown["verdict"];
        assert_eq!(verdict["outcome"], outcome, "{published} {original:?} {check:?}: {verdict:#}");
        assert_eq!(verdict.get("follows").is_some(), outcome == "beyond", "{verdict:#}");
        assert!(verdict["says"].to_string().contains("seen in"), "the source is told: {verdict:#}");
    }
}

#[test]
fn failures_in_a_row_are_counted_up_to_each_check() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let ticket = yard.post(1, "2026-06-03", &[50, 50, 50, 50]);
    let check = |piece, diameter| yard.file(&[again(&ticket, piece, &inches(diameter))]);
    let [first, second, third, fourth] = [check(1, 45), check(2, 50), check(3, 45), check(4, 60)];
    let record = |path: &str| yard.outfit.contractor.get(path).expect(200)["scaler_record"].clone();
    assert_eq!(record(&first)["failures_in_a_row"], 1);
    assert_eq!(record(&second)["failures_in_a_row"], 0);
    let (third, fourth) = (record(&third), record(&fourth));
    assert_eq!((&third["failures_in_a_row"], third.get("says")), (&json!(1), None));
    assert_eq!((&fourth["scaler"], &fourth["failures_in_a_row"]), (&json!("Yard scaler"), &json!(2)));
    assert!(fourth["says"].as_str().is_some_and(|says| says.contains("2 checks in a row")), "{fourth:#}");
    assert_eq!(fourth["checks"].as_array().map(Vec::len), Some(4));
    let listed =
        yard.outfit.contractor.get("/v1/check-scales?scaler=Yard%20scaler&to=2026-06-15").expect(200);
    assert_eq!(listed["items"].as_array().map(Vec::len), Some(4));
    let none = yard.outfit.contractor.get("/v1/check-scales?scaler=Nobody").expect(200);
    assert_eq!(none["items"], json!([]));
}

/// The scaler sees volumes and no money; the mill sees what is of its own contract, money and all, and nothing else.
#[test]
fn everybody_sees_their_own_side() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let outfit = &yard.outfit;
    let sent = tests::ticket(outfit, 1, "2026-06-03", &[log("48", "16")]);
    let ticket = text(&outfit.scaler.post("/v1/tickets", &sent).expect(201), "ticket_id");
    let felling = yard.file(&[again(&ticket, 1, &inches(46))]);
    let mills = outfit.mill.get("/v1/contracts").expect(200);
    let mut delivered = yard.check(&[again(&ticket, 1, &log("46", "16"))]);
    delivered["contract_id"] = mills["items"][0]["contract_id"].clone();
    let filed = outfit.bookkeeper.post("/v1/check-scales", &delivered).expect(201);
    let delivery = format!("/v1/check-scales/{}", text(&filed, "check_scale_id"));
    let adjusted = json!({"reason": "by agreement", "although": "the mill's contract is silent"});
    let _filed = outfit.bookkeeper.post(&format!("{delivery}/adjustments"), &adjusted).expect(201);

    let _hidden = outfit.mill.get(&felling).refuses(Code::NotFound);
    let seen = outfit.mill.get(&delivery).expect(200);
    assert_eq!(seen["adjustments"][0]["reason"], "by agreement");
    assert!(
        seen["money"]["says"][0].as_str().is_some_and(|says| says.contains("would owe less")),
        "{seen:#}"
    );
    assert_eq!(
        seen["scaler_record"]["checks"].as_array().map(Vec::len),
        Some(1),
        "the crews' are not the mill's"
    );
    let listed = outfit.mill.get("/v1/check-scales").expect(200);
    assert_eq!(listed["items"].as_array().map(Vec::len), Some(1));
    let other = outfit.manager.post("/v1/mills", &json!({"name": "Upper mill"})).expect(201);
    let other = app.member(outfit.outfit, Role::Mill, Some(text(&other, "mill_id").parse().expect("an id")));
    let _hidden = other.get(&delivery).refuses(Code::NotFound);
    assert_eq!(other.get("/v1/check-scales").expect(200)["items"], json!([]));

    let scalers = outfit.scaler.get(&delivery).expect(200);
    assert!(scalers.get("money").is_none() && scalers.get("adjustments").is_none(), "{scalers:#}");
    assert_eq!(scalers["strata"][0]["check"]["pieces"], 1);
    assert!(outfit.contractor.get(&felling).expect(200).get("money").is_some());
}
