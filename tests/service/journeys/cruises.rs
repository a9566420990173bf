//! A cruise, and what was cut beside it, worked out by hand.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use crate::outside::{cruise, filed_cruise};
use crate::world::text;

fn start() -> (TestApp, Furnished) {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    (app, outfit)
}

/// The cruise of the tract with another way of looking at it.
fn measured(outfit: &Furnished, method: &Value, formula: &Value, plots: &Value) -> Value {
    let mut sent = cruise(outfit);
    sent["measured"] = json!({"method": method, "formula": formula, "plots": plots});
    sent
}

fn cut_out(outfit: &Furnished, cruise: &str, rest: &str) -> Value {
    let contract = &outfit.felling_contract;
    let path = format!("/v1/audit/cut-out?cruise_id={cruise}&contract_id={contract}{rest}");
    outfit.contractor.get(&path).expect(200)
}

/// 80 percent of 20 inches is 16, which holds 160 board feet by Scribner Decimal C; two inches less at the top of the second
/// log are 14, which holds 110. Three such trees stand for 15 on an acre: 4050 board feet there, and nothing on the other
/// plot. 2025 an acre on the mean, 81000 on 40 acres. Two plots of 200 have a standard error of 81000 × √0.99.
#[test]
fn two_plots_by_hand() {
    let (_app, outfit) = start();
    let filed = outfit.bookkeeper.post("/v1/cruises", &cruise(&outfit)).expect(201);
    let estimates = &filed["estimates"];
    let all = &estimates["all"];
    assert_eq!((text(all, "volume_per_area"), text(all, "volume")), ("2025".to_owned(), "81000".to_owned()));
    assert_eq!((text(all, "stems_per_area"), text(all, "stems")), ("7.5".to_owned(), "300".to_owned()));
    assert_eq!(all["sampling_error"]["standard_error"], "80593.982406");
    assert_eq!((&estimates["unit"], &estimates["tract"]), (&json!("board_foot"), &json!({"acres": "40"})));
    assert_eq!((&estimates["room_for_plots"], &filed["trees"]), (&json!(200), &json!(3)));
    assert_eq!(estimates["species"][0]["estimate"], *all);
    assert!(estimates["caution"].as_str().is_some_and(|says| says.contains("licensed foresters")));
    assert_eq!(
        (&filed["volumes"][0]["stems"], &filed["volumes"][0]["volume"]),
        (&json!("15"), &json!("270"))
    );
    assert!(filed["formula"]["from_memory"].as_bool().is_some_and(|recalled| recalled));
    // Nine times in ten is narrower, ninety-nine in a hundred wider.
    let id = text(&filed, "cruise_id");
    let width = |query: &str| {
        let shown = outfit.contractor.get(&format!("/v1/cruises/{id}{query}")).expect(200);
        let error = &shown["estimates"]["all"]["sampling_error"];
        text(error, "percent").parse::<kernel::Fixed>().expect("a number")
    };
    assert!(width("?confidence=ninety") < width("") && width("") < width("?confidence=ninety_nine"));
    let shown = outfit.contractor.get(&format!("/v1/cruises/{id}?allowed_percent=10")).expect(200);
    let needed = &shown["estimates"]["plots_needed"];
    // (12.7062 × 141.4214 / 10)² = 32289, of which there is room for 200: 32289 / (1 + 32289 / 200) = 198.8.
    assert_eq!((&needed["plots"], &needed["t"]), (&json!(199), &json!("12.7062")));
    let _wrong =
        outfit.contractor.get(&format!("/v1/cruises/{id}?allowed_percent=0")).refuses(Code::WrongAddress);
}

/// Two square metres a hectare for each counted tree: by a cone a third of its height in cubic metres for each square metre,
/// so trees of 18 metres make 12 cubic metres a hectare each, however thick they are.
#[test]
fn points_in_metres() {
    let (_app, outfit) = start();
    let tree = |diameter: &str| json!({"species": "spruce", "diameter_cm": diameter, "height_m": "18"});
    let method = json!({"kind": "points", "basal_area_factor": {"square_metres_per_hectare": "2"},
                        "tract": {"hectares": "16"}});
    let plots = json!([{"trees": [tree("40"), tree("25.5")]}, {"trees": [tree("60")]}]);
    let sent = measured(&outfit, &method, &json!({"by": "form_factor", "form": "cone"}), &plots);
    let filed = outfit.bookkeeper.post("/v1/cruises", &sent).expect(201);
    let all = &filed["estimates"]["all"];
    assert_eq!(filed["estimates"]["unit"], "cubic_metre");
    // Stems are taken to six decimals, which the volume shows in its seventh digit.
    let volume = text(all, "volume_per_area").parse::<kernel::Fixed>().expect("a number");
    let off = volume.minus("18".parse().expect("a number")).expect("small").millionths();
    assert!(off.abs() <= 1, "{volume}");
    assert_eq!(filed["volumes"][0]["stems"], "15.915457"); // 2 / (0.00007854 × 1600)
    assert!(filed["estimates"].get("room_for_plots").is_none());
    let contract = cut_out(&outfit, &text(&filed, "cruise_id"), "");
    assert!(contract.get("not_comparable").is_none(), "nothing is cut yet: {contract:#}");
    let _ticket =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &[log("16", "16")])).expect(201);
    let contract = cut_out(&outfit, &text(&filed, "cruise_id"), "");
    let says = "the estimate and the logs are not all in one unit: board feet, cubic metres; nothing converts one into \
                the other";
    assert_eq!((&contract["not_comparable"], contract.get("all")), (&json!(says), None));
}

#[test]
fn what_was_cut_beside_what_was_expected() {
    let (_app, outfit) = start();
    let post = |sent: &Value| outfit.scaler.post("/v1/tickets", sent).expect(201);
    let hemlock =
        json!({"product": "log", "species": "Hemlock", "small_diameter_in": ["12"], "length_ft": "16"});
    let first = post(&ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16"), hemlock]));
    let _later = post(&ticket(&outfit, 2, "2026-06-10", &[log("20", "16")]));
    let id = filed_cruise(&outfit);
    let shown = cut_out(&outfit, &id, "");
    assert_eq!((&shown["rules_differ"], &shown["unit"]), (&json!(false), &json!("board_foot")));
    let all = &shown["all"];
    // 160, 80, 80 and 280 of 81000.
    assert_eq!((&all["gross"], &all["logs"]), (&json!("600"), &json!(4)));
    assert_eq!(
        (&all["held"][0]["difference"], &all["held"][0]["percent"]),
        (&json!("-80400"), &json!("-99.26"))
    );
    assert_eq!((&all["held"][0]["within_interval"], &all["still_standing"]), (&json!(true), &json!("80400")));
    let species = shown["species"].as_array().expect("species");
    assert_eq!((&species[0]["species"], species[0].get("estimate")), (&json!("hemlock"), None));
    assert_eq!((&species[1]["species"], &species[1]["gross"]), (&json!("white pine"), &json!("520")));
    // Up to a day, and after a correction.
    assert_eq!(cut_out(&outfit, &id, "&to=2026-06-09")["all"]["gross"], "320");
    let correction = json!({"reason": "R", "ticket": ticket(&outfit, 3, "2026-06-03", &[log("16", "16")])});
    let path = format!("/v1/tickets/{}/corrections", text(&first, "ticket_id"));
    let _corrected = outfit.scaler.post(&path, &correction).expect(201);
    assert_eq!(cut_out(&outfit, &id, "")["all"]["gross"], "440");

    // The same trees by another rule, and a cruise that came after the cut.
    let mut doyle = cruise(&outfit);
    doyle["measured"]["formula"]["rule"] = json!("doyle");
    let doyle = text(&outfit.bookkeeper.post("/v1/cruises", &doyle).expect(201), "cruise_id");
    assert_eq!(cut_out(&outfit, &doyle, "")["rules_differ"], true);
    let mut late = cruise(&outfit);
    late["cruised_on"] = json!("2026-06-11");
    let late = text(&outfit.bookkeeper.post("/v1/cruises", &late).expect(201), "cruise_id");
    assert_eq!(cut_out(&outfit, &late, "")["all"]["logs"], 0);

    // Taken back, it counts no more.
    let reason = json!({"reason": "of another tract"});
    let _withdrawn = outfit.bookkeeper.post(&format!("/v1/cruises/{id}/withdrawal"), &reason).expect(201);
    let _again = outfit
        .bookkeeper
        .post(&format!("/v1/cruises/{id}/withdrawal"), &reason)
        .refuses(Code::ReversedAlready);
    let shown = cut_out(&outfit, &id, "");
    assert_eq!(shown["not_comparable"], "the cruise was taken back: of another tract");
    let listed = |query: &str| {
        let listed = outfit.contractor.get(&format!("/v1/cruises{query}")).expect(200);
        listed["items"].as_array().expect("cruises").len()
    };
    assert_eq!((listed(""), listed("?standing=true"), listed("?from=2026-06-01")), (3, 2, 1));
}

#[test]
fn a_contract_of_another_job_is_none_to_hold_it_against() {
    let (_app, outfit) = start();
    let id = filed_cruise(&outfit);
    let job = text(&outfit.manager.post("/v1/jobs", &json!({"name": "Another tract"})).expect(201), "job_id");
    let contract = json!({"title": "There", "job_id": job, "party": {"crew_id": outfit.felling_crew},
                          "terms": crate::world::terms("10")});
    let contract = text(&outfit.manager.post("/v1/contracts", &contract).expect(201), "contract_id");
    let path = format!("/v1/audit/cut-out?cruise_id={id}&contract_id={contract}");
    let _problem = outfit.contractor.get(&path).refuses(Code::WrongAddress);
}

#[test]
fn cruises_that_make_no_sense_are_refused_and_nothing_is_kept() {
    let (_app, outfit) = start();
    let plots = json!({"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"acres": "40"}});
    let table = json!({"by": "form_class_table", "rule": "scribner"});
    let tree = |diameter: &str, logs: &str| json!({"species": "oak", "diameter_in": diameter, "logs": logs});
    let sent = measured(
        &outfit,
        &plots,
        &table,
        &json!([{"trees": [tree("14", "2"), tree("14", "5")]},
                                                         {"trees": [tree("9", "1")]}]),
    );
    let problem = outfit.bookkeeper.post("/v1/cruises", &sent).refuses(Code::CannotScale);
    let pointers: Vec<_> =
        problem["errors"].as_array().expect("errors").iter().map(|one| text(one, "pointer")).collect();
    assert_eq!(pointers, ["#/measured/plots/0/trees/1", "#/measured/plots/1/trees/0"]);
    let by_logs =
        |rule: &str| json!({"by": "log_by_log", "rule": rule, "form_class": "78", "tapers_in": ["2"]});
    for (formula, height) in [(by_logs("doyle"), "3"), (by_logs("doyle"), "0.5"), (by_logs("smalian"), "2")] {
        let sent = measured(&outfit, &plots, &formula, &json!([{"trees": [tree("20", height)]}]));
        let _problem = outfit.bookkeeper.post("/v1/cruises", &sent).refuses(Code::CannotScale);
    }
    let good = json!([{"trees": [tree("14", "2")]}]);
    let hectares = json!({"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"hectares": "16"}});
    let small = json!({"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"acres": "0.3"}});
    for (method, plots) in [
        (&plots, json!([])),
        (&hectares, good.clone()),
        (&small, json!([{"trees": []}, {"trees": []}])),
        (&json!({"kind": "complete"}), json!([{"trees": []}, {"trees": []}])),
        (&plots, json!([{"trees": [{"species": "oak", "diameter_cm": "40", "height_m": "12"}]}])),
        (&plots, json!([{"trees": [{"species": "oak", "diameter_in": "14"}]}])),
        (&plots, json!([{"trees": [{"species": "oak", "diameter_in": "14", "logs": "2", "count": 0}]}])),
    ] {
        let sent = measured(&outfit, method, &table, &plots);
        let _problem = outfit.bookkeeper.post("/v1/cruises", &sent).refuses(Code::WrongForm);
    }
    let mut of_nobody = measured(&outfit, &plots, &table, &good);
    of_nobody["job_id"] = json!(outfit.mill_id);
    let _problem = outfit.bookkeeper.post("/v1/cruises", &of_nobody).refuses(Code::NamesMissingRecord);
    assert_eq!(outfit.contractor.get("/v1/cruises").expect(200)["items"], json!([]));
}
