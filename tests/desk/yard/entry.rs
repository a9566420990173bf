//! A ticket is entered with forms alone, step by step; what is posted is what was typed.

use serde_json::{Value, json};
use tests::{Form, Furnished, Shown, TestApp, Visitor};

const YARD: &str = "/desk/yard";

/// The form with its head filled in.
fn begun(outfit: &Furnished, visitor: &mut Visitor) -> Form {
    let form = visitor.get(YARD).form(YARD);
    form.with("book", "A")
        .with("number", "7")
        .with("landing_id", &outfit.landing)
        .with("scaled_on", "2026-06-08")
        .with("crew_felling", &outfit.felling_crew)
        .with("crew_skidding", &outfit.teamster)
        .with("moved_by", "team")
        .with("skid_distance_ft", "300")
        .with("delivered_to", &outfit.mill_id)
        .with("remarks", "mud")
}

/// Sends the form with a button pressed; answers the page, and the form as it stands then.
fn press(visitor: &mut Visitor, form: &Form, button: &str) -> (Shown, Form) {
    let shown = visitor.submit(&form.clone().with("do", button));
    let next = shown.form(YARD);
    (shown, next)
}

fn the_ticket(outfit: &Furnished, number: u32) -> Value {
    let all = outfit.manager.get("/v1/tickets?limit=500").expect(200);
    let all = all["items"].as_array().expect("a list");
    let mut found = all.iter().filter(|one| one["ticket"]["number"] == number);
    let one = found.next().unwrap_or_else(|| panic!("no ticket {number} in {all:#?}")).clone();
    assert!(found.next().is_none(), "it is there once");
    one
}

/// What is typed into which fields, and the document that it makes.
type Typed = (&'static [(&'static str, &'static str)], Value);

fn logs() -> Vec<Typed> {
    vec![
        (
            &[
                ("product", "log"),
                ("species", "white pine"),
                ("small_1", "14"),
                ("small_2", "15.5"),
                ("length", "16"),
                ("length_in", "4"),
                ("large_1", "18"),
                ("grade", "No 1"),
                ("marks", "HX"),
                ("stick_number", "17"),
                ("d1_kind", "heart_rot"),
                ("d1_method", "squared"),
                ("d1_width", "4"),
                ("d1_height", "5"),
                ("d1_length", "6"),
                ("d1_from", "0"),
                ("d1_note", "wet"),
            ],
            json!({"product": "log", "species": "white pine", "small_diameter_in": ["14", "15.5"], "length_ft": "16",
                "length_in": "4", "large_diameter_in": ["18"], "grade": "No 1", "marks": "HX", "stick_number": "17",
                "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5",
                    "length_ft": "6", "from_small_end_ft": "0", "note": "wet"}]}),
        ),
        (
            &[("product", "log"), ("small_1", "12"), ("length", "16"), ("length_in", "")],
            json!({"product": "log", "species": "white pine", "small_diameter_in": ["12"], "length_ft": "16"}),
        ),
    ]
}

fn other_pieces() -> Vec<Typed> {
    vec![
        (
            &[
                ("product", "hewn_timber"),
                ("species", "oak"),
                ("length", "24"),
                ("small_end_width", "12"),
                ("small_end_thickness", "10"),
                ("small_end_wane", "2x1.5, 2x2"),
                ("straightness", "0.5"),
                ("hewn_from", "17"),
            ],
            json!({"product": "hewn_timber", "species": "oak", "length_ft": "24", "straightness_in": "0.5",
                "hewn_from": "17", "small_end": {"width_in": "12", "thickness_in": "10",
                    "wane": [{"width_in": "2", "thickness_in": "1.5"}, {"width_in": "2", "thickness_in": "2"}]}}),
        ),
        (
            &[
                ("product", "tie"),
                ("length", "8.5"),
                ("width", "9"),
                ("thickness", "7"),
                ("refused", "split"),
            ],
            json!({"product": "tie", "species": "oak", "length_ft": "8.5", "width_in": "9", "thickness_in": "7",
                "refused": "split"}),
        ),
        (
            &[("product", "pole"), ("species", "cedar"), ("length", "35"), ("top_diameter", "7")],
            json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"}),
        ),
        (
            &[
                ("product", "ranked_pile"),
                ("species", "spruce"),
                ("length", "8"),
                ("heights", "4, 4 2"),
                ("stick_length", "4"),
                ("d1_kind", "loosely_ranked"),
                ("d1_method", "estimate"),
                ("d1_percent", "5"),
                ("d1_reason", "gaps"),
            ],
            json!({"product": "ranked_pile", "species": "spruce", "length_ft": "8", "stick_length_ft": "4",
                "heights": [{"feet": "4"}, {"feet": "4", "inches": "2"}], "defects": [
                    {"kind": "loosely_ranked", "method": "estimate", "percent": "5", "reason": "gaps"}]}),
        ),
    ]
}

#[test]
fn every_kind_of_piece_is_entered_and_posted_as_it_was_typed() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let mut form = begun(&outfit, &mut ida);
    let typed = [logs(), other_pieces()].concat();
    for (fields, _) in &typed {
        form = fields.iter().fold(form, |form, (name, value)| form.with(name, value));
        let (shown, next) = press(&mut ida, &form, "add");
        let _page = shown.page(200);
        form = next;
    }
    let (shown, form) = press(&mut ida, &form, "look");
    assert_eq!(shown.texts("h1"), ["Look the ticket over"], "{}", shown.text());
    let (shown, form) = press(&mut ida, &form, "back");
    assert_eq!(shown.texts("#sticks tbody tr").len(), 6);
    let (_, form) = press(&mut ida, &form, "look");
    let form = form.with("do", "post");
    let posted = ida.submit(&form);
    let leads = posted.leads_to().unwrap_or_else(|| panic!("{}", posted.text()));
    assert!(leads.starts_with("/desk/yard/tickets/"), "{leads}");
    let again = ida.submit(&form).leads_to().expect("it is no harm");
    assert_eq!(again, leads.replace("kept", "again"));
    let kept = the_ticket(&outfit, 7);
    let ticket = &kept["ticket"];
    for (place, (_, piece)) in typed.iter().enumerate() {
        assert_eq!(&ticket["pieces"][place], piece, "stick {}", place + 1);
    }
    assert_eq!(ticket["turn"], json!({"moved_by": "team", "skid_distance_ft": "300"}));
    assert_eq!(ticket["delivered_to"], outfit.mill_id.as_str());
    assert_eq!((&ticket["remarks"], &ticket["scaler"]), (&json!("mud"), &json!("ida")));
    assert_eq!((&ticket["book"], &ticket["scaled_on"]), (&json!("A"), &json!("2026-06-08")));
    assert_eq!((&ticket["job_id"], &kept["accepted_by"]), (&json!(outfit.job), &json!("ida")));
}

#[test]
fn metric_logs_and_shared_work_go_the_same_way() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let form =
        begun(&outfit, &mut ida).with("crew_felling", "").with("species", "fir").with("system", "metric");
    let form = form.with("small_1", "36").with("small_2", "38,5").with("length", "4.9");
    let form = form.with("d1_kind", "sweep").with("d1_method", "sweep").with("d1_departure", "7");
    let (_, form) = press(&mut ida, &form, "add");
    let (_, form) = press(&mut ida, &form.with("small_1", "40"), "add");
    let (_, form) = press(&mut ida, &form, "work");
    let rows = [
        ("w1_task", "felling"),
        ("w1_crew", &outfit.felling_crew),
        ("w1_pieces", "1"),
        ("w2_task", "felling"),
        ("w2_crew", &outfit.teamster),
    ];
    let form = rows.iter().fold(form, |form, (name, value)| form.with(name, value));
    let posted = ida.submit(&form.with("do", "post"));
    assert!(posted.leads_to().is_some(), "{}", posted.text());
    let kept = the_ticket(&outfit, 7)["ticket"].clone();
    assert_eq!(
        kept["pieces"],
        json!([
            {"product": "log", "species": "fir", "small_diameter_cm": ["36", "38.5"], "length_m": "4.9",
             "defects": [{"kind": "sweep", "method": "sweep", "departure_cm": "7"}]},
            {"product": "log", "species": "fir", "small_diameter_cm": ["40"], "length_m": "4.9"}
        ])
    );
    let felling: Vec<_> =
        kept["work"].as_array().expect("work").iter().filter(|one| one["task"] == "felling").collect();
    assert_eq!(felling[0]["pieces"], json!([1]), "{kept:#}");
    assert_eq!((&felling[1]["crew_id"], &felling[1]["pieces"]), (&json!(outfit.teamster), &json!([2])));
}

#[test]
fn a_stick_is_corrected_and_dropped_and_the_scale_runs_along() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let form = begun(&outfit, &mut ida).with("species", "pine").with("small_1", "12").with("length", "16");
    let (_, form) = press(&mut ida, &form, "add");
    let (shown, form) = press(&mut ida, &form.with("small_1", "16"), "add");
    assert_eq!(
        form.clone().without("none").fields.iter().find(|(name, _)| name == "species").expect("it stays").1,
        "pine"
    );
    assert_eq!(shown.texts("#sticks tbody tr").len(), 2);
    let (shown, form) = press(&mut ida, &form, "edit-2");
    assert_eq!(shown.texts("#stick-legend"), ["Change stick 2"]);
    let (_, form) = press(&mut ida, &form.with("small_1", "20"), "add");
    let (shown, form) = press(&mut ida, &form.with("small_1", "9"), "add");
    assert_eq!(shown.texts("#sticks tbody tr").len(), 3);
    let (shown, form) = press(&mut ida, &form, "drop-3");
    assert_eq!(shown.texts("#sticks tbody tr").len(), 2);
    let figures: Vec<Vec<String>> =
        (1..=2).map(|stick| shown.texts(&format!("#stick-{stick} td.figure"))).collect();
    let totals = shown.texts("#totals li");
    let posted = ida.submit(&form.with("do", "post"));
    let _leads = posted.leads_to().unwrap_or_else(|| panic!("{}", posted.text()));
    let id = the_ticket(&outfit, 7)["ticket_id"].as_str().expect("an id").to_owned();
    let view = outfit.scaler.get(&format!("/v1/tickets/{id}")).expect(200);
    let scaled = view["scaled"].as_array().expect("contracts");
    assert_eq!(scaled.len(), 3, "{view:#}");
    for (stick, shown) in figures.iter().enumerate() {
        let of = |member: &str| {
            let all: Vec<_> =
                scaled.iter().map(|by| by["pieces"][stick][member].as_str().expect("a volume")).collect();
            all.join(" ")
        };
        assert_eq!(shown, &[of("gross"), of("net")]);
    }
    for by in scaled {
        let net: u32 = (0..2)
            .map(|stick| by["pieces"][stick]["net"].as_str().expect("net").parse::<u32>().expect("feet"))
            .sum();
        let title = by["contract_title"].as_str().expect("a title");
        assert!(
            totals.iter().any(|line| line.starts_with(&format!("{title} {net} net"))),
            "{title} {net}: {totals:?}"
        );
    }
}

#[test]
fn what_is_wrong_is_said_at_its_field_and_nothing_is_lost() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let form = begun(&outfit, &mut ida).with("species", "pine").with("small_1", "0").with("length", "16");
    let shown = ida.submit(&form.with("do", "add"));
    let _page = shown.page(422);
    assert_eq!(shown.texts("#small_1-wrong").len(), 1, "{}", shown.text());
    assert_eq!(shown.texts("[role=alert] a[href='#small_1']").len(), 1);
    let form = shown.form(YARD);
    let of = |name: &str| form.fields.iter().find(|(known, _)| known == name).expect("it is there").1.clone();
    assert_eq!((of("species"), of("length"), of("remarks")), ("pine".into(), "16".into(), "mud".into()));
    // A field of another kind of piece is not forgotten in silence.
    let shown = ida.submit(&form.clone().with("small_1", "12").with("heights", "4").with("do", "add"));
    let _page = shown.page(422);
    let (_, form) = press(&mut ida, &form.with("small_1", "12").with("heights", ""), "add");
    // Half a stick holds up the ticket.
    let shown = ida.submit(&form.clone().with("small_1", "13").with("do", "post"));
    let _page = shown.page(422);
    // The service's own refusal stands above the form, with everything still in it.
    let nowhere = form.with("small_1", "").with("crew_felling", &outfit.landing);
    let shown = ida.submit(&nowhere.with("do", "post"));
    assert!(shown.reply.status >= 400, "{}", shown.text());
    assert_eq!(shown.texts("div.refusal").len(), 1);
    assert_eq!(shown.texts("#sticks tbody tr").len(), 1);
    assert!(shown.text().contains("pine log"));
    let all = outfit.manager.get("/v1/tickets").expect(200);
    assert_eq!(all["items"], json!([]), "nothing was posted");
}
