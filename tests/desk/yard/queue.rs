//! What a phone sends from its queue: once, in the name of whoever entered it, with the service's own words on a refusal.

use reqwest::Method;
use serde_json::{Value, json};
use tests::{Furnished, Shown, TestApp, Visitor, log, ticket};

fn who(visitor: &mut Visitor) -> Value {
    let shown = visitor.get("/desk/yard/who");
    assert_eq!(shown.reply.status, 200, "{}", shown.reply.text);
    serde_json::from_str(&shown.reply.text).expect("JSON")
}

fn post(visitor: &mut Visitor, path: &str, key: &str, body: &Value) -> Shown {
    let headers =
        [("Content-Type", "application/json"), ("form-key", key), ("Sec-Fetch-Site", "same-origin")];
    visitor.ask(Method::POST, path, Some(body.to_string()), &headers)
}

fn read(shown: &Shown) -> Value {
    serde_json::from_str(&shown.reply.text).unwrap_or_else(|_| panic!("{}", shown.reply.text))
}

#[test]
fn a_ticket_sent_again_is_kept_once_and_never_in_anothers_name() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let mut otto = Visitor::signed_in(&app, &outfit, "otto", "scaler");
    let (hers, his) = (who(&mut ida), who(&mut otto));
    let key = |who: &Value| who["form_key"].as_str().expect("a key").to_owned();
    assert_ne!(hers["owner"], his["owner"]);
    let paper = ticket(&outfit, 1, "2026-06-08", &[log("12", "16")]);
    let sent = json!({"owner": hers["owner"], "ticket": paper});
    // Whoever is signed in on the phone now does not send what somebody else entered.
    let refused = post(&mut otto, "/desk/yard/send", &key(&his), &sent);
    assert_eq!((refused.reply.status, read(&refused)), (409, json!({"other_person": true})));
    let _forged = post(&mut ida, "/desk/yard/send", &key(&his), &sent).page(403);
    let first = post(&mut ida, "/desk/yard/send", &key(&hers), &sent);
    assert_eq!((first.reply.status, &read(&first)["replayed"]), (200, &json!(false)), "{}", first.reply.text);
    let again = post(&mut ida, "/desk/yard/send", &key(&hers), &sent);
    assert_eq!(read(&again)["replayed"], true);
    assert_eq!(read(&again)["ticket_id"], read(&first)["ticket_id"]);
    let kept = outfit.manager.get("/v1/tickets").expect(200);
    assert_eq!(kept["items"].as_array().map(Vec::len), Some(1));
    assert_eq!(kept["items"][0]["accepted_by"], "ida");
    let mut other = sent.clone();
    other["ticket"]["pieces"] = json!([log("13", "16")]);
    let refused = post(&mut ida, "/desk/yard/send", &key(&hers), &other);
    assert_eq!(refused.reply.status, 409);
    assert_eq!(refused.reply.header("content-type"), Some("application/problem+json"));
    assert_eq!(read(&refused)["code"], "ticket-differs");
    other["ticket"]["pieces"][0]["length_ft"] = json!("0");
    let refused = post(&mut ida, "/desk/yard/send", &key(&hers), &other);
    assert_eq!((refused.reply.status, &read(&refused)["code"]), (422, &json!("wrong-form")));
}

#[test]
fn a_queue_without_a_session_is_led_to_the_door() {
    let app = TestApp::start();
    let mut nobody = Visitor::new(&app);
    for path in ["/desk/yard/send", "/desk/yard/scale"] {
        let shown = post(&mut nobody, path, "", &json!({}));
        assert_eq!(shown.leads_to().as_deref(), Some("/desk/sign-in"));
    }
    assert!(nobody.get("/desk/yard/who").leads_to().is_some());
    let elsewhere = [("Sec-Fetch-Site", "cross-site")];
    let _refused = nobody.ask(Method::GET, "/desk/yard/who", None, &elsewhere);
}

#[test]
fn a_correction_goes_through_the_queue_as_well() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let hers = who(&mut ida);
    let key = hers["form_key"].as_str().expect("a key").to_owned();
    let wrong =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-08", &[log("12", "16")])).expect(201);
    let sent = json!({"owner": hers["owner"], "corrects": wrong["ticket_id"], "reason": "read wrong",
        "ticket": ticket(&outfit, 2, "2026-06-08", &[log("14", "16")])});
    let kept = post(&mut ida, "/desk/yard/send", &key, &sent);
    let again = post(&mut ida, "/desk/yard/send", &key, &sent);
    assert_eq!(read(&kept)["ticket_id"], read(&again)["ticket_id"], "{}", kept.reply.text);
    let id = read(&kept)["ticket_id"].as_str().expect("an id").to_owned();
    let view = outfit.manager.get(&format!("/v1/tickets/{id}")).expect(200);
    assert_eq!((&view["corrects"], &view["correction_reason"]), (&wrong["ticket_id"], &json!("read wrong")));
}

#[test]
fn the_running_scale_is_what_the_service_makes_of_the_ticket() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let hers = who(&mut ida);
    let key = hers["form_key"].as_str().expect("a key").to_owned();
    let mut rotten = log("20", "16");
    rotten["defects"] = json!([{"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "8",
        "length_ft": "16"}]);
    let paper =
        ticket(&outfit, 1, "2026-06-08", &[log("12", "16"), rotten, log("13.5", "18.4"), log("30", "40")]);
    let so_far = json!({"job_id": outfit.job, "scaled_on": "2026-06-08", "work": paper["work"],
        "delivered_to": outfit.mill_id, "pieces": paper["pieces"]});
    let shown = read(&post(&mut ida, "/desk/yard/scale", &key, &so_far));
    let posted = outfit.scaler.post("/v1/tickets", &paper).expect(201);
    let theirs = posted["scaled"].as_array().expect("contracts");
    let ours = shown["contracts"].as_array().unwrap_or_else(|| panic!("{shown:#}"));
    assert_eq!(ours.len(), theirs.len());
    for by in theirs {
        let mine = ours.iter().find(|one| one["terms_id"] == by["terms_id"]).expect("the contract");
        let both =
            mine["pieces"].as_array().expect("pieces").iter().zip(by["pieces"].as_array().expect("pieces"));
        for (mine, theirs) in both {
            for member in ["piece", "gross", "net", "cull"] {
                assert_eq!(mine[member], theirs[member], "{member}: {mine:#}");
            }
        }
    }
    let mut wrong = so_far;
    wrong["pieces"][1]["length_ft"] = json!("0");
    let said = read(&post(&mut ida, "/desk/yard/scale", &key, &wrong));
    assert_eq!(said["wrong"]["piece"], 2, "{said:#}");
}
