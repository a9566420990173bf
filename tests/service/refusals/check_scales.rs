//! Check scales and adjustments that are refused, and say why.

use serde_json::{Value, json};
use tests::TestApp;
use wire::Code;

use crate::check_scales::{Yard, again, inches, two_percent};

fn pointers(problem: &Value) -> Vec<&str> {
    let errors = problem["errors"].as_array().expect("errors");
    errors.iter().map(|one| one["pointer"].as_str().expect("a pointer")).collect()
}

#[test]
fn nobody_checks_his_own_scale() {
    let app = TestApp::start();
    let yard = Yard::new(&app, None);
    let ticket = yard.post(1, "2026-06-03", &[50]);
    for own in ["Yard scaler", "yard Scaler"] {
        let mut sent = yard.check(&[again(&ticket, 1, &inches(48))]);
        sent["checker"] = json!(own);
        let problem = yard.outfit.scaler.post("/v1/check-scales", &sent).refuses(Code::CheckerIsScaler);
        assert_eq!(pointers(&problem), ["#/pieces/0/ticket_id"]);
    }
    let listed = yard.outfit.scaler.get("/v1/check-scales").expect(200);
    assert_eq!(listed["items"], json!([]));
}

#[test]
fn a_check_scale_fits_its_tickets_and_its_contract() {
    let app = TestApp::start();
    let yard = Yard::new(&app, None);
    let ticket = yard.post(1, "2026-06-03", &[50, 50]);
    let late = yard.post(2, "2026-06-14", &[50]);
    let post = |sent: &Value| yard.outfit.scaler.post("/v1/check-scales", sent);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let nobody = "0197a000-0000-7000-8000-000000000001";
    let sent = yard.check(&[
        again(&ticket, 1, &inches(50)),
        again(&ticket, 1, &inches(49)),
        again(&ticket, 3, &inches(50)),
        again(&ticket, 2, &pole),
        again(&late, 1, &inches(50)),
    ]);
    let problem = post(&sent).refuses(Code::CheckScaleInconsistent);
    let at = ["#/pieces/1/found", "#/pieces/2/found", "#/pieces/3/found", "#/pieces/4/ticket_id"];
    assert_eq!(pointers(&problem), at);
    let missing = yard.check(&[again(&ticket, 1, &inches(50)), again(nobody, 1, &inches(50))]);
    assert_eq!(pointers(&post(&missing).refuses(Code::NamesMissingRecord)), ["#/pieces/1/ticket_id"]);
    let whole = |change: &dyn Fn(&mut Value)| {
        let mut sent = yard.check(&[again(&ticket, 1, &inches(50))]);
        change(&mut sent);
        sent
    };
    for (change, at) in [
        (("pieces", json!([])), "#/pieces"),
        (("checked_on", json!("2026-06-16")), "#/checked_on"),
        (("scaler", json!("Somebody else")), "#/pieces/0/ticket_id"),
        (("checked_on", json!("2026-06-02")), "#/pieces/0/ticket_id"),
    ] {
        let sent = whole(&|sent| sent[change.0] = change.1.clone());
        let problem = post(&sent).refuses(Code::CheckScaleInconsistent);
        assert_eq!(pointers(&problem), [at], "{problem:#}");
    }
    let elsewhere = whole(&|sent| sent["contract_id"] = json!(nobody));
    let _problem = post(&elsewhere).refuses(Code::NamesMissingRecord);
    let other = yard.on_landing(7, "2026-06-03", &[inches(48)]);
    let corrected = json!({"reason": "misread", "ticket": other});
    let _right =
        yard.outfit.scaler.post(&format!("/v1/tickets/{ticket}/corrections"), &corrected).expect(201);
    let problem = post(&yard.check(&[again(&ticket, 1, &inches(50))])).refuses(Code::CheckScaleInconsistent);
    assert!(problem["errors"][0]["detail"].as_str().is_some_and(|says| says.contains("taken its place")));
}

#[test]
fn an_adjustment_needs_a_tolerance_that_asks_for_it_or_a_reason_that_says_so() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let ticket = yard.post(1, "2026-06-03", &[50, 50]);
    let within = yard.file(&[again(&ticket, 1, &inches(49))]);
    let adjustments = format!("{within}/adjustments");
    let bare = json!({"reason": "to the foot"});
    let problem = yard.outfit.bookkeeper.post(&adjustments, &bare).refuses(Code::WithinTolerance);
    assert!(
        problem["detail"].as_str().is_some_and(|says| says.contains("2 percent is allowed")),
        "{problem:#}"
    );
    // The effect is shown all the same.
    let shown = yard.outfit.bookkeeper.get(&within).expect(200);
    assert_eq!(
        (&shown["money"]["asked_for"], &shown["money"]["amount"]["amount"]),
        (&json!(false), &json!("-0.20"))
    );
    let although = json!({"reason": "to the foot", "although": "both sides want it"});
    let filed = yard.outfit.bookkeeper.post(&adjustments, &although).expect(201);
    assert_eq!(filed["although"], "both sides want it");
    let equal = yard.file(&[again(&ticket, 2, &inches(50))]);
    let _nothing = yard
        .outfit
        .bookkeeper
        .post(&format!("{equal}/adjustments"), &although)
        .refuses(Code::NothingToAdjust);
    let missing = "/v1/check-scales/0197a000-0000-7000-8000-000000000001/adjustments";
    let _missing = yard.outfit.bookkeeper.post(missing, &although).refuses(Code::NotFound);
    let missing = "/v1/volume-adjustments/0197a000-0000-7000-8000-000000000001/reversal";
    let _missing = yard.outfit.bookkeeper.post(missing, &bare).refuses(Code::NotFound);
    // A tolerance that has the timber scaled again, or nothing done, does not ask for it either.
    yard.terms(Some(json!({"published": "scaled_again_beyond_three_percent"})), "10");
    let far = yard.file(&[again(&ticket, 1, &inches(40))]);
    let _refused =
        yard.outfit.bookkeeper.post(&format!("{far}/adjustments"), &bare).refuses(Code::WithinTolerance);
}

#[test]
fn a_tolerance_limits_something_by_a_percentage() {
    let app = TestApp::start();
    let yard = Yard::new(&app, None);
    let path = format!("/v1/contracts/{}/terms", yard.outfit.felling_contract);
    let file = |tolerance: Value| {
        let mut terms = crate::world::terms("10");
        terms["check_tolerance"] = tolerance;
        yard.outfit.bookkeeper.post(&path, &terms)
    };
    let mut none = two_percent();
    none["own"].as_object_mut().expect("the rule").remove("net");
    let _none = file(none).refuses(Code::WrongForm);
    let mut large = two_percent();
    large["own"]["net"]["percent"] = json!("100.1");
    let _large = file(large).refuses(Code::WrongForm);
    let _unknown = file(json!({"published": "somebody's"})).refuses(Code::WrongForm);
    let filed = file(two_percent()).expect(201);
    assert_eq!(filed["terms"]["check_tolerance"], two_percent());
}
