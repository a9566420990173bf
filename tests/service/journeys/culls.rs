//! Culls: a rejected piece is recorded as it was measured, with its gross volume and the little that is sound,
//! and counted as what it is.

use serde_json::json;
use tests::{Furnished, TestApp, log, ticket};

#[test]
fn a_rejected_piece_stays_as_it_was_measured() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut rotten = log("16", "16");
    let rot = json!({"kind": "heart_rot", "method": "squared", "height_in": "12", "width_in": "12", "length_ft": "16"});
    rotten["defects"] = json!([rot]);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), rotten.clone()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let kept = &accepted["ticket"]["pieces"][1];
    for member in ["species", "small_diameter_in", "length_ft"] {
        assert_eq!(kept[member], rotten[member], "{kept:#}");
    }
    for (member, value) in rot.as_object().expect("members") {
        assert_eq!(kept["defects"][0][member], *value, "{kept:#}");
    }
    let scaled = accepted["scaled"].as_array().expect("scaled");
    let with_volume: Vec<_> = scaled.iter().filter(|one| one["pieces"][1]["gross"].is_string()).collect();
    assert!(!with_volume.is_empty(), "{accepted:#}");
    for contract in with_volume {
        let [sound, cull] = [0, 1].map(|place| &contract["pieces"][place]);
        assert_eq!(cull["gross"], sound["gross"], "the same stick of wood, defect or not: {contract:#}");
        assert_eq!((&sound["net"], &cull["net"]), (&sound["gross"], &json!("10")), "{contract:#}");
        assert!(cull["cull"].is_string() && sound.get("cull").is_none(), "{contract:#}");
    }
    let audit = outfit.manager.get("/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-06").expect(200);
    let row = &audit["contracts"][0]["volumes"][0];
    assert_eq!((&row["pieces"], &row["culls"]), (&json!(2), &json!(1)), "{audit:#}");
}
