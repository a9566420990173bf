//! The story of the examples: an invented outfit's first week, from opening the books to the audit.

use jiff::SignedDuration;
use kernel::OutfitId;
use serde_json::{Value, json};
use tests::Actor;
use wire::Role;

use super::check_scales;
use super::exceptions;
use super::explaining;
use super::recorder::Recorder;
use super::reports;

/// The ids that later requests need.
struct Outfit {
    manager: Actor,
    bookkeeper: Actor,
    scaler: Actor,
    contractor: Actor,
    workers: Vec<Value>,
    felling_crew: Value,
    hewing_crew: Value,
    mill: Value,
    job: Value,
    landing: Value,
    hewing_contract: Value,
}

/// Plays it all.
pub fn play(recorder: &mut Recorder) {
    let mut outfit = open_books(recorder);
    let terms = agree(recorder, &mut outfit);
    scale(recorder, &outfit, &terms);
    certify(recorder, &outfit);
    let ticket = post_tickets(recorder, &outfit);
    mend_tickets(recorder, &outfit, &ticket);
    look_after_the_books(recorder, &outfit);
    keep_time(recorder, &outfit);
    preview_terms(recorder, &outfit);
    let settlement = settle(recorder, &outfit);
    file_a_table(recorder, &outfit);
    keep_the_books(recorder, &outfit, &settlement);
    keep_money(recorder, &outfit);
    post_many(recorder, &outfit);
    super::seals::seal(recorder, &outfit.bookkeeper, &outfit.contractor);
    let_people_in(recorder, &outfit);
    ask_the_service(recorder, &outfit);
    tell_a_tool(recorder, &outfit);
    explaining::explain(recorder, &outfit.contractor, &settlement, &outfit.workers[0], &outfit.job);
    exceptions::play(recorder, &outfit.bookkeeper, &outfit.contractor, &outfit.job, &outfit.mill);
    reports::report(recorder, &outfit.contractor);
    hold_against_the_scale(recorder, &outfit);
}

/// What a mill sawed and what a cruise expected; it comes last so that the ids of the rest stay what they are.
fn hold_against_the_scale(recorder: &mut Recorder, outfit: &Outfit) {
    let Outfit { bookkeeper, contractor, job, mill, .. } = outfit;
    super::outside::play(recorder, &super::outside::Outside { bookkeeper, contractor, job, mill });
    let Outfit { scaler, bookkeeper, contractor, job, .. } = &outfit;
    check_scales::play(recorder, &check_scales::Checking { scaler, bookkeeper, contractor, job });
    super::practices::play(recorder, scaler, job);
}

fn path(parts: &[&Value], pattern: &str) -> String {
    parts.iter().fold(pattern.to_owned(), |path, part| path.replacen("{}", part.as_str().expect("an id"), 1))
}

fn name(name: &str) -> Option<Value> {
    Some(json!({"name": name}))
}

fn open_books(recorder: &mut Recorder) -> Outfit {
    let operator = recorder.app.operator();
    let opened = recorder.shown(
        "open_outfit",
        &operator,
        "/v1/outfits",
        Some(json!({"name": "Tamarack outfit", "currency": "USD", "time_zone": "America/Detroit",
                    "week_ends_on": "saturday"})),
    );
    let outfit: OutfitId = opened["outfit_id"].as_str().expect("an id").parse().expect("an id");
    let manager = recorder.app.member(outfit, Role::Manager, None);
    let _shown = recorder.shown("show_outfit", &manager, "/v1/outfit", None);
    let mill = recorder.shown("file_mill", &manager, "/v1/mills", name("River mill"))["mill_id"].clone();
    let _listed = recorder.shown("list_mills", &manager, "/v1/mills", None);
    let access = json!({"subject": "Clerk of the mill", "role": "mill", "mill_id": mill, "minutes": 600});
    let _granted = recorder.shown("grant_access", &manager, "/v1/access-tokens", Some(access));
    let mut workers = vec![recorder.shown("file_worker", &manager, "/v1/workers", name("First sawyer"))];
    for worker in ["Second sawyer", "Hewer"] {
        workers.push(recorder.quietly(&manager, "/v1/workers", &json!({"name": worker})));
    }
    let workers: Vec<Value> = workers.iter().map(|worker| worker["worker_id"].clone()).collect();
    let _listed = recorder.shown("list_workers", &manager, "/v1/workers", None);
    let felling_crew =
        recorder.shown("file_crew", &manager, "/v1/crews", name("Felling crew"))["crew_id"].clone();
    let hewing_crew =
        recorder.quietly(&manager, "/v1/crews", &json!({"name": "Hewing crew"}))["crew_id"].clone();
    let shares = json!({"effective_from": "2026-06-01", "shares": [
        {"worker_id": workers[0], "parts": "3"}, {"worker_id": workers[1], "parts": "2.5"}]});
    let share_sets = |crew: &Value| path(&[crew], "/v1/crews/{}/share-sets");
    let _filed = recorder.shown("file_share_set", &manager, &share_sets(&felling_crew), Some(shares));
    let alone = json!({"effective_from": "2026-06-01", "shares": [{"worker_id": workers[2], "parts": "1"}]});
    let _filed = recorder.quietly(&manager, &share_sets(&hewing_crew), &alone);
    let _listed = recorder.shown("list_crews", &manager, "/v1/crews", None);
    let job = recorder.shown("file_job", &manager, "/v1/jobs", name("Tamarack tract"))["job_id"].clone();
    let landings = path(&[&job], "/v1/jobs/{}/landings");
    let landing =
        recorder.shown("file_landing", &manager, &landings, name("North landing"))["landing_id"].clone();
    let _listed = recorder.shown("list_jobs", &manager, "/v1/jobs", None);
    let member = |role| recorder.app.member(outfit, role, None);
    let (bookkeeper, scaler) = (member(Role::Bookkeeper), member(Role::Scaler));
    let contractor = member(Role::Contractor);
    let hewing_contract = Value::Null;
    Outfit {
        manager,
        bookkeeper,
        scaler,
        contractor,
        workers,
        felling_crew,
        hewing_crew,
        mill,
        job,
        landing,
        hewing_contract,
    }
}

/// Rates for felling: small logs pay more a thousand.
fn felling_rates(small: &str, large: &str) -> Value {
    json!([
        {"name": "small logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
         "basis": "gross", "price": small, "covers": {"diameter_in": {"below": "12"}}},
        {"name": "large logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
         "basis": "gross", "price": large, "covers": {"diameter_in": {"from": "12"}}},
        {"name": "trees for hewing", "task": "felling", "product": "hewn_timber", "unit": "piece",
         "price": "0.15"}
    ])
}

fn hewing_rates() -> Value {
    json!([{"name": "hewing by the foot", "task": "hewing", "product": "hewn_timber", "unit": "linear_foot",
            "price": "0.03"}])
}

/// Files the contracts; answers with the terms of the felling contract.
fn agree(recorder: &mut Recorder, outfit: &mut Outfit) -> Value {
    let practice = json!({"log": {"rule": "scribner-decimal-c", "least_trim_in": "3"}});
    let felling = json!({
        "title": "Felling on the Tamarack tract", "job_id": outfit.job, "party": {"crew_id": outfit.felling_crew},
        "terms": {"effective_from": "2026-06-01", "practice": practice, "rates": felling_rates("12.50", "10.25")}
    });
    let filed = recorder.shown("file_contract", &outfit.bookkeeper, "/v1/contracts", Some(felling));
    let hewing = json!({
        "title": "Hewing", "job_id": outfit.job, "party": {"crew_id": outfit.hewing_crew},
        "terms": {"effective_from": "2026-06-01", "practice": {"hewn_timber": {}},
                  "rates": hewing_rates()}
    });
    let hewing = recorder.quietly(&outfit.bookkeeper, "/v1/contracts", &hewing);
    outfit.hewing_contract = hewing["contract_id"].clone();
    let delivery = json!({
        "title": "Timber delivered to the mill", "job_id": outfit.job, "party": {"mill_id": outfit.mill},
        "terms": {"effective_from": "2026-06-01",
                  "practice": {"log": {"rule": "scribner-decimal-c"}, "hewn_timber": {}},
                  "rates": [
                      {"name": "logs", "task": "delivery", "product": "log", "unit": "thousand_board_feet",
                       "basis": "net", "price": "42"},
                      {"name": "hewn timber", "task": "delivery", "product": "hewn_timber",
                       "unit": "thousand_board_feet", "basis": "net", "price": "55"}]}
    });
    let _filed = recorder.quietly(&outfit.bookkeeper, "/v1/contracts", &delivery);
    let _listed = recorder.shown("list_contracts", &outfit.contractor, "/v1/contracts", None);
    let contract = &filed["contract_id"];
    let amended = json!({"effective_from": "2026-06-05", "practice": practice,
                         "rates": felling_rates("12.75", "10.25")});
    let terms = path(&[contract], "/v1/contracts/{}/terms");
    let _filed = recorder.shown("file_terms", &outfit.bookkeeper, &terms, Some(amended));
    let shown = path(&[contract], "/v1/contracts/{}");
    let _shown = recorder.shown("show_contract", &outfit.contractor, &shown, None);
    filed["terms"][0]["terms_id"].clone()
}

fn rotten_log() -> Value {
    json!({"product": "log", "species": "white pine", "small_diameter_in": ["15.5", "17"], "length_ft": "16",
           "length_in": "4", "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "6",
                                          "height_in": "6", "length_ft": "8"}]})
}

fn scale(recorder: &mut Recorder, outfit: &Outfit, terms: &Value) {
    let direct = json!({"rule": "doyle", "diameter_in": "16", "length_ft": "14", "label": "butt log"});
    let _rules = recorder.shown("list_rules", &outfit.scaler, "/v1/rules", None);
    let _scaled = recorder.shown("scale", &outfit.scaler, "/v1/scale", Some(direct));
    let piece = json!({"terms_id": terms, "piece": rotten_log()});
    let _scaled = recorder.shown("scale_piece", &outfit.scaler, "/v1/scale/piece", Some(piece));
}

fn ticket(outfit: &Outfit, number: u32, scaled_on: &str, pieces: &[Value]) -> Value {
    json!({
        "book": "N", "number": number, "job_id": outfit.job, "landing_id": outfit.landing,
        "scaled_on": scaled_on, "scaler": "Scaler of the outfit",
        "work": [{"task": "felling", "crew_id": outfit.felling_crew}],
        "turn": {"moved_by": "team of two horses", "skid_distance_ft": "450", "haul_distance_mi": "2.4"},
        "delivered_to": outfit.mill, "pieces": pieces
    })
}

/// What the scaler has to show for himself.
fn certify(recorder: &mut Recorder, outfit: &Outfit) {
    let certificate = json!({"scaler": "Scaler of the outfit", "certificate": "log scaler, 1417",
                             "issued_by": "an invented board of scalers", "valid_from": "2026-01-01",
                             "valid_to": "2028-12-31"});
    let path = "/v1/scaler-certificates";
    let _filed = recorder.shown("file_scaler_certificate", &outfit.bookkeeper, path, Some(certificate));
    let good = format!("{path}?on=2026-06-03");
    let _listed = recorder.shown("list_scaler_certificates", &outfit.contractor, &good, None);
}

/// A sheet got wet, and two more are looked for.
fn look_after_the_books(recorder: &mut Recorder, outfit: &Outfit) {
    let spoiled = json!({"from": 130, "reason": "the sheet fell into the river"});
    let voided = "/v1/scale-books/N/voided-numbers";
    let _voided = recorder.shown("void_numbers", &outfit.scaler, voided, Some(spoiled));
    let _listed = recorder.shown("list_voided_numbers", &outfit.bookkeeper, voided, None);
    let _listed = recorder.shown("list_scale_books", &outfit.bookkeeper, "/v1/scale-books", None);
    let _listed = recorder.shown("list_gaps", &outfit.bookkeeper, "/v1/scale-books/N/gaps", None);
}

/// Posts the week's tickets; answers with the one that turns out to be wrong.
fn post_tickets(recorder: &mut Recorder, outfit: &Outfit) -> Value {
    recorder.at("2026-06-03T20:30:00Z");
    let small = json!({"product": "log", "species": "hemlock", "small_diameter_in": ["9"], "length_ft": "12",
                       "length_in": "3"});
    let squared = json!({"product": "hewn_timber", "species": "white pine",
                         "small_end": {"width_in": "10", "thickness_in": "10",
                                       "wane": [{"width_in": "2", "thickness_in": "2"}]},
                         "large_end": {"width_in": "11", "thickness_in": "10"}, "length_ft": "24"});
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"});
    let mut first = ticket(outfit, 101, "2026-06-03", &[rotten_log(), small, squared, pole]);
    first["work"] = json!([{"task": "felling", "crew_id": outfit.felling_crew, "pieces": [1, 2, 3]},
                           {"task": "hewing", "crew_id": outfit.hewing_crew, "pieces": [3]}]);
    first["remarks"] = json!("the pole stays in camp");
    first["measured_at"] = json!("2026-06-03T15:12:40-04:00");
    first["sent_at"] = json!("2026-06-03T16:33:10-04:00");
    let accepted = recorder.shown("post_ticket", &outfit.scaler, "/v1/tickets", Some(first));
    let shown = path(&[&accepted["ticket_id"]], "/v1/tickets/{}");
    let _unpriced = recorder.shown("list_unpriced", &outfit.bookkeeper, "/v1/unpriced?to=2026-06-06", None);
    let aside = json!({"task": "delivery", "piece": 4, "reason": "kept for the camp bridge"});
    let _aside = recorder.shown("set_aside", &outfit.bookkeeper, &format!("{shown}/set-asides"), Some(aside));
    let _shown = recorder.shown("show_ticket", &outfit.scaler, &shown, None);
    recorder.shown_as_text("show_ticket", &outfit.scaler, &format!("{shown}?format=html"), "html");
    let _shown = recorder.shown("show_working", &outfit.contractor, &format!("{shown}/working"), None);
    recorder.at("2026-06-05T20:30:00Z");
    let log = json!({"product": "log", "species": "white pine", "small_diameter_in": ["21"], "length_ft": "16",
                     "length_in": "3"});
    recorder.quietly(&outfit.scaler, "/v1/tickets", &ticket(outfit, 102, "2026-06-05", &[log]))
}

/// Tickets of the next week, many in one request.
fn post_many(recorder: &mut Recorder, outfit: &Outfit) {
    let log = json!({"product": "log", "species": "white pine", "small_diameter_in": ["14"], "length_ft": "16",
                     "length_in": "3"});
    let good = ticket(outfit, 201, "2026-06-15", &[log.clone(), log.clone()]);
    let mut nameless = ticket(outfit, 202, "2026-06-15", &[log]);
    nameless["scaler"] = json!("");
    let lines = format!("{good}\n{nameless}\n");
    let to = "/v1/ticket-batches";
    recorder.shown_in("post_tickets", &outfit.scaler, to, ("ndjson", &lines), "ndjson");
    let sheet = "book,number,job,landing,scaled_on,scaler,crew.felling,product,species,small_diameter_in.1,\
                 length_ft,length_in,defects.1.kind,defects.1.method,defects.1.width_in,defects.1.height_in,\
                 defects.1.length_ft\r\n\
                 N,203,Tamarack tract,North landing,2026-06-15,Scaler of the outfit,Felling crew,log,white pine,18,16,4,\
                 heart_rot,squared,5,5,6\r\n\
                 ,,,,,,Felling crew,log,hemlock,11,14,2,,,,,\r\n\
                 N,204,Tamarack tract,North landing,2026-06-15,Scaler of the outfit,Felling crew,log,hemlock,none,14,2,\
                 ,,,,\r\n";
    recorder.shown_in("post_ticket_sheet", &outfit.scaler, "/v1/ticket-sheets", ("csv", sheet), "json");
    let template = "/v1/ticket-sheets/template";
    recorder.shown_as_text("ticket_sheet_template", &outfit.scaler, template, "csv");
}

fn mend_tickets(recorder: &mut Recorder, outfit: &Outfit, wrong: &Value) {
    let log = json!({"product": "log", "species": "white pine", "small_diameter_in": ["12"], "length_ft": "16",
                     "length_in": "3"});
    let correction =
        json!({"reason": "21 was written for 12", "ticket": ticket(outfit, 103, "2026-06-05", &[log])});
    let corrections = path(&[&wrong["ticket_id"]], "/v1/tickets/{}/corrections");
    let _corrected = recorder.shown("correct_ticket", &outfit.scaler, &corrections, Some(correction));
    let query = path(&[&outfit.job], "/v1/tickets?job_id={}&from=2026-06-04");
    let _listed = recorder.shown("list_tickets", &outfit.contractor, &query, None);
}

/// What the week would come to under other terms for felling.
fn preview_terms(recorder: &mut Recorder, outfit: &Outfit) {
    let contracts = outfit.contractor.get("/v1/contracts").expect(200);
    let contract = contracts["items"][0].clone();
    let terms = json!({"effective_from": "2026-06-01", "practice": contract["terms"][0]["practice"],
                       "rates": felling_rates("13.50", "11")});
    let proposal = json!({"terms": terms, "from": "2026-05-31", "to": "2026-06-06"});
    let preview = path(&[&contract["contract_id"]], "/v1/contracts/{}/terms/preview");
    let _shown = recorder.shown("preview_terms", &outfit.bookkeeper, &preview, Some(proposal));
}

/// Hours beside the pieces: what the sawyers spent on them.
fn keep_time(recorder: &mut Recorder, outfit: &Outfit) {
    let hours = json!({"worker_id": outfit.workers[0], "worked_on": "2026-06-05", "hours": "9.5",
                       "what_for": {"kind": "piece_work"}});
    let _filed = recorder.shown("file_time", &outfit.bookkeeper, "/v1/time-entries", Some(hours));
    let query = path(&[&outfit.workers[0]], "/v1/time-entries?worker_id={}&standing=true");
    let _listed = recorder.shown("list_time", &outfit.contractor, &query, None);
}

/// Settles the week; answers with the settlement's id.
fn settle(recorder: &mut Recorder, outfit: &Outfit) -> Value {
    recorder.at("2026-06-08T12:00:00Z");
    let week = Some(json!({"week_ends_on": "2026-06-06"}));
    let draft = recorder.shown("draft_settlement", &outfit.bookkeeper, "/v1/settlements", week);
    let settlement = path(&[&draft["settlement_id"]], "/v1/settlements/{}");
    let posting = format!("{settlement}/posting");
    let _posted = recorder.shown("post_settlement", &outfit.bookkeeper, &posting, None);
    let weeks = "/v1/settlements?week_ends_on=2026-06-06";
    let _listed = recorder.shown("list_settlements", &outfit.contractor, weeks, None);
    let _shown = recorder.shown("show_settlement", &outfit.contractor, &settlement, None);
    let lines = draft["lines"].as_array().expect("lines");
    let large = lines.iter().find(|line| line["rate_name"] == "large logs").expect("a line for large logs");
    let line = format!("{settlement}/lines/{}", large["number"]);
    let _explained = recorder.shown("explain_line", &outfit.contractor, &line, None);
    let query = path(&[&draft["settlement_id"]], "/v1/statements?settlement_id={}");
    let listed = recorder.shown("list_statements", &outfit.bookkeeper, &query, None);
    let first = listed["items"].as_array().expect("items").iter();
    let first =
        first.clone().find(|one| one["payee"]["worker_id"] == outfit.workers[0]).expect("a statement");
    let statement = path(&[&first["statement_id"]], "/v1/statements/{}");
    let _shown = recorder.shown("show_statement", &outfit.bookkeeper, &statement, None);
    recorder.shown_as_text("show_statement", &outfit.bookkeeper, &format!("{statement}?format=html"), "html");
    let audit = "/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-06";
    let _audit = recorder.shown("audit_volume_against_pay", &outfit.contractor, audit, None);
    draft["settlement_id"].clone()
}

/// Looks at what the week came to, from every side; nothing is filed by it.
fn keep_the_books(recorder: &mut Recorder, outfit: &Outfit, settlement: &Value) {
    let sheet = path(&[settlement, &outfit.felling_crew], "/v1/settlements/{}/crews/{}");
    let _sheet = recorder.shown("show_crew_sheet", &outfit.bookkeeper, &sheet, None);
    recorder.shown_as_text("show_crew_sheet", &outfit.bookkeeper, &format!("{sheet}?format=html"), "html");
    let june = "/v1/journal?from=2026-06-01&to=2026-06-30";
    let listed = recorder.shown("list_journal", &outfit.bookkeeper, june, None);
    let entry = path(&[&listed["items"][0]["journal_entry_id"]], "/v1/journal/entries/{}");
    let _shown = recorder.shown("show_journal_entry", &outfit.bookkeeper, &entry, None);
    let day = "/v1/journal/trial-balance?on=2026-06-30";
    let _balance = recorder.shown("show_trial_balance", &outfit.contractor, day, None);
    for (format, ending) in [("csv", "csv"), ("text", "txt")] {
        let export = format!("/v1/journal/export?format={format}&from=2026-06-01&to=2026-06-30");
        recorder.shown_as_text("export_journal", &outfit.bookkeeper, &export, ending);
    }
    let _balances = recorder.shown("list_balances", &outfit.bookkeeper, "/v1/balances?on=2026-06-30", None);
    let margin = "/v1/audit/margin?from=2026-06-01&to=2026-06-06";
    let _margin = recorder.shown("audit_margin", &outfit.contractor, margin, None);
    let changes = "/v1/audit/changes?operation=post_settlement";
    let _changes = recorder.shown("list_changes", &outfit.contractor, changes, None);
}

/// What stands beside the scale in pay. The hewer's contract gets a holdback for the second week, which is settled, so
/// that there is something to let go.
fn keep_money(recorder: &mut Recorder, outfit: &Outfit) {
    let books = &outfit.bookkeeper;
    let hewer = &outfit.workers[2];
    recorder.at("2026-06-09T18:00:00Z");
    let wages = json!({"effective_from": "2026-06-07", "terms": {
        "guarantee_an_hour": "0.20", "overtime": {"after_hours": "60"}}});
    let _filed = recorder.shown("file_wage_terms", books, "/v1/wage-terms", Some(wages));
    let _listed = recorder.shown("list_wage_terms", &outfit.contractor, "/v1/wage-terms", None);
    let charge = json!({"worker_id": hewer, "dated": "2026-06-09", "kind": "tools", "says": "a broadaxe handle",
                        "amount": "0.60", "most_a_week": "0.25"});
    let charge = recorder.shown("file_charge", books, "/v1/charges", Some(charge));
    let advance = json!({"worker_id": hewer, "dated": "2026-06-09", "says": "for boots", "amount": "4.00",
                         "recovery": {"by": "part_of_pay", "percent": "20"}});
    let _advance = recorder.shown("file_advance", books, "/v1/advances", Some(advance));
    settle_second_week(recorder, outfit);
    let of_hewer = |list: &str| path(&[hewer], &format!("/v1/{list}?worker_id={{}}"));
    let _listed = recorder.shown("list_charges", &outfit.contractor, &of_hewer("charges"), None);
    let _listed = recorder.shown("list_advances", &outfit.contractor, &of_hewer("advances"), None);
    let payment = json!({"party": {"worker_id": hewer}, "dated": "2026-06-15", "says": "in cash at the camp",
                         "amount": "1.50"});
    let _paid = recorder.shown("file_payment", books, "/v1/payments", Some(payment));
    let _listed = recorder.shown("list_payments", &outfit.contractor, &of_hewer("payments"), None);
    let release = json!({"worker_id": hewer, "contract_id": outfit.hewing_contract, "dated": "2026-06-15",
                         "says": "the bridge timbers are accepted", "amount": "0.10"});
    let _release = recorder.shown("release_holdback", books, "/v1/holdback-releases", Some(release));
    let _listed = recorder.shown("list_holdback", &outfit.contractor, &of_hewer("holdback"), None);
    let reversal =
        json!({"record": {"charge_id": charge["charge_id"]}, "reason": "the handle was the camp's own"});
    let _reversed = recorder.shown("file_reversal", books, "/v1/reversals", Some(reversal));
}

/// A stick is hewn under terms with a holdback, and the week is posted.
fn settle_second_week(recorder: &mut Recorder, outfit: &Outfit) {
    let terms = json!({"effective_from": "2026-06-07", "practice": {"hewn_timber": {}},
                       "rates": hewing_rates(), "holdback": {"percent": "10", "cap": "5.00"}});
    let file = path(&[&outfit.hewing_contract], "/v1/contracts/{}/terms");
    let _filed = recorder.quietly(&outfit.bookkeeper, &file, &terms);
    let squared = json!({"product": "hewn_timber", "species": "white pine",
                         "small_end": {"width_in": "12", "thickness_in": "12"},
                         "large_end": {"width_in": "12", "thickness_in": "12"}, "length_ft": "40"});
    let mut hewn = ticket(outfit, 104, "2026-06-10", &[squared.clone(), squared]);
    hewn["work"] = json!([{"task": "felling", "crew_id": outfit.felling_crew},
                          {"task": "hewing", "crew_id": outfit.hewing_crew}]);
    recorder.at("2026-06-10T20:30:00Z");
    let _accepted = recorder.quietly(&outfit.scaler, "/v1/tickets", &hewn);
    recorder.at("2026-06-15T12:00:00Z");
    let week = json!({"week_ends_on": "2026-06-13"});
    let draft = recorder.quietly(&outfit.bookkeeper, "/v1/settlements", &week);
    let posting = path(&[&draft["settlement_id"]], "/v1/settlements/{}/posting");
    let _posted = outfit.bookkeeper.put(&posting).expect(201);
}

/// Files a log rule of the outfit's own; it comes after the rest so that the ids of that stay what they are.
fn file_a_table(recorder: &mut Recorder, outfit: &Outfit) {
    let heading = json!({
        "title": "Camp scale", "system": "inch_foot", "diameter": "small_end", "unit": "board_foot",
        "rounding": "to the nearest 5 board feet", "jurisdiction": "the Tamarack tract",
        "source": "the outfit's own stick, as agreed with the mill"
    });
    let csv = "inches,8,10,12\r\n6,5,10,10\r\n7,10,10,15\r\n8,10,15,20\r\n";
    let doubtful = "inches,8,10,12\r\n6,5,10,10\r\n7,10,10,5\r\n8,10,15,20\r\n";
    let doubtful = json!({"heading": heading, "cells": {"csv": doubtful}});
    let _checked =
        recorder.shown("check_log_table", &outfit.bookkeeper, "/v1/log-table-checks", Some(doubtful));
    let table = json!({"heading": heading, "cells": {"csv": csv}});
    let filed = recorder.shown("file_log_table", &outfit.bookkeeper, "/v1/log-tables", Some(table));
    let _listed = recorder.shown("list_log_tables", &outfit.contractor, "/v1/log-tables", None);
    let shown = path(&[&filed["table_id"]], "/v1/log-tables/{}");
    let _shown = recorder.shown("show_log_table", &outfit.contractor, &shown, None);
}

/// People are registered, set their passwords, sign in and out; a machine gets a key; and some of it is ended.
fn let_people_in(recorder: &mut Recorder, outfit: &Outfit) {
    let manager = &outfit.manager;
    let nobody = recorder.app.stranger();
    recorder.at("2026-06-16T11:00:00Z");
    let scaler = json!({"name": "ida", "says": "Scaler at the north landing", "role": "scaler"});
    let registered = recorder.shown("register_account", manager, "/v1/accounts", Some(scaler));
    let account = &registered["account"]["account_id"];
    let password = "a cold morning in june";
    let set = |code: &Value| json!({"outfit_id": registered["enrolment"]["outfit_id"], "enrolment_code": code, "password": password});
    let code = &registered["enrolment"]["enrolment_code"];
    let own = path(&[account], "/v1/accounts/{}/password");
    let _set = recorder.shown("set_password", &nobody, &own, Some(set(code)));
    let sign_in =
        json!({"outfit_id": registered["enrolment"]["outfit_id"], "name": "ida", "password": password});
    let signed_in = recorder.shown("sign_in", &nobody, "/v1/sign-in", Some(sign_in));
    let bound = json!({"name": "bob", "role": "bookkeeper",
                       "external": {"issuer": recorder.issuer.url(), "subject": "7f3a"}});
    let _bound = recorder.quietly(manager, "/v1/accounts", &bound);
    let claims = recorder.issuer.claims("7f3a", recorder.now().as_second());
    let by_word = json!({"outfit_id": registered["enrolment"]["outfit_id"],
                         "id_token": recorder.issuer.token(1, &claims)});
    let _by_word = recorder.shown("sign_in_externally", &nobody, "/v1/sign-in/external", Some(by_word));
    let refresh = json!({"refresh_token": signed_in["refresh_token"]});
    let signed_in = recorder.shown("refresh_sign_in", &nobody, "/v1/sign-in/refresh", Some(refresh));
    let out = json!({"refresh_token": signed_in["refresh_token"]});
    let _out = recorder.shown("sign_out", &nobody, "/v1/sign-out", Some(out));
    let anew = path(&[account], "/v1/accounts/{}/enrolments");
    let reason = json!({"reason": "forgot the password"});
    let _code = recorder.shown("issue_enrolment", manager, &anew, Some(reason));
    let key = json!({"name": "Tablet of the north landing", "role": "scaler", "expires_on": "2026-12-31",
                     "scopes": ["tickets:write", "tickets:read", "jobs:read"]});
    let key = recorder.shown("make_machine_key", manager, "/v1/machine-keys", Some(key));
    let lost = path(&[&key["grant"]["grant_id"]], "/v1/access-grants/{}/revocation");
    let reason = json!({"reason": "the tablet was lost in the river"});
    let _revoked = recorder.shown("revoke_access", manager, &lost, Some(reason));
    let _listed = recorder.shown("list_access", manager, "/v1/access-grants", None);
    let closing = path(&[account], "/v1/accounts/{}/closure");
    let reason = json!({"reason": "left the outfit"});
    let _closed = recorder.shown("close_account", manager, &closing, Some(reason));
    let _listed = recorder.shown("list_accounts", manager, "/v1/accounts", None);
    let _keys = recorder.shown("show_token_keys", &nobody, "/.well-known/jwks.json", None);
}

fn ask_the_service(recorder: &mut Recorder, outfit: &Outfit) {
    let _live = recorder.shown("live", &outfit.manager, "/health/live", None);
    let _ready = recorder.shown("ready", &outfit.manager, "/health/ready", None);
    let _problem = recorder.shown("show_problem", &outfit.manager, "/problems/ticket-differs", None);
}

/// The office's payroll program is told of tickets: it hears, is deaf for some days, and is told again.
fn tell_a_tool(recorder: &mut Recorder, outfit: &Outfit) {
    let manager = &outfit.manager;
    recorder.at("2026-06-16T10:00:00Z");
    let subscription = json!({"url": "https://payroll.example/skidway", "says": "Payroll of the office",
                              "kinds": ["ticket.accepted", "ticket.corrected"]});
    let list = "/v1/event-subscriptions";
    let filed = recorder.shown("file_event_subscription", manager, list, Some(subscription));
    let one = path(&[&filed["subscription"]["subscription_id"]], "/v1/event-subscriptions/{}");
    let trial = Some(json!({"says": "hello from the office"}));
    let _tried = recorder.shown("try_event_subscription", manager, &format!("{one}/trial"), trial);
    let log = json!({"product": "log", "species": "white pine", "small_diameter_in": ["14"], "length_ft": "16",
                     "length_in": "3"});
    let heard = ticket(outfit, 105, "2026-06-15", std::slice::from_ref(&log));
    let _heard = recorder.quietly(&outfit.scaler, "/v1/tickets", &heard);
    recorder.tell(1);
    recorder.tool.answers(503);
    let missed = ticket(outfit, 206, "2026-06-15", &[log]);
    let _missed = recorder.quietly(&outfit.scaler, "/v1/tickets", &missed);
    recorder.tell(1);
    recorder.at("2026-06-16T11:00:00Z");
    recorder.tell(1);
    let _sent = recorder.shown("list_deliveries", manager, &format!("{one}/deliveries"), None);
    for _ in 3..=10 {
        recorder.later(SignedDuration::from_hours(30));
        recorder.tell(1);
    }
    recorder.tool.answers(204);
    let dead = recorder.shown("list_dead_letters", manager, &format!("{one}/dead-letters"), None);
    let replay = Some(json!({"event_ids": [dead["items"][0]["event_id"]]}));
    let _replayed =
        recorder.shown("replay_dead_letters", manager, &format!("{one}/dead-letters/replay"), replay);
    recorder.tell(1);
    let overlap = Some(json!({"overlap_hours": 48}));
    let _made = recorder.shown("make_signing_secret", manager, &format!("{one}/secrets"), overlap);
    let _shown = recorder.shown("show_event_subscription", manager, &one, None);
    let end = Some(json!({"reason": "the office has another payroll program"}));
    let _ended = recorder.shown("end_event_subscription", manager, &format!("{one}/end"), end);
    let _listed = recorder.shown("list_event_subscriptions", manager, list, None);
}
