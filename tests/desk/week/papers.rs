//! Papers at the desk are the service's, byte for byte, for whoever may have them.

use serde_json::Value;
use tests::{Furnished, TestApp, Visitor, log, ticket};

fn id(record: &Value, member: &str) -> String {
    record[member].as_str().expect("an id").to_owned()
}

/// Every paper there is: at the desk, and at the service without its form.
fn papers(outfit: &Furnished) -> Vec<(String, String)> {
    let filed =
        outfit.scaler.post("/v1/tickets", &ticket(outfit, 1, "2026-06-02", &[log("16", "16")])).expect(201);
    let ticket = id(&filed, "ticket_id");
    let settlement = id(&outfit.settle("2026-06-06"), "settlement_id");
    let crew = &outfit.felling_crew;
    let days = "from=2026-05-31&to=2026-06-06";
    let mut all = vec![
        (format!("tickets/{ticket}.FORM"), format!("/v1/tickets/{ticket}?")),
        (
            format!("settlements/{settlement}/crews/{crew}.FORM"),
            format!("/v1/settlements/{settlement}/crews/{crew}?"),
        ),
        (format!("report.FORM?{days}"), format!("/v1/reports/audit?{days}&")),
        (
            format!("report.FORM?{days}&job_id={}&contract_id=&crew_id={crew}", outfit.job),
            format!("/v1/reports/audit?{days}&job_id={}&crew_id={crew}&", outfit.job),
        ),
    ];
    let statements = outfit.bookkeeper.get("/v1/statements").expect(200);
    for one in statements["items"].as_array().expect("a list") {
        let one = id(one, "statement_id");
        all.push((format!("statements/{one}.FORM"), format!("/v1/statements/{one}?")));
    }
    assert!(all.len() > 5, "workers and a mill have statements");
    all
}

#[test]
fn every_paper_is_the_services_own_or_its_refusal() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let all = papers(&outfit);
    // Named as the service's own callers are: a report says who asked for it.
    let mut people = [
        (Visitor::signed_in(&app, &outfit, "manager", "manager"), &outfit.manager),
        (Visitor::signed_in(&app, &outfit, "bookkeeper", "bookkeeper"), &outfit.bookkeeper),
        (Visitor::signed_in(&app, &outfit, "contractor", "contractor"), &outfit.contractor),
        (Visitor::signed_in(&app, &outfit, "mill", "mill"), &outfit.mill),
        (Visitor::signed_in(&app, &outfit, "scaler", "scaler"), &outfit.scaler),
    ];
    let (mut handed, mut refused) = (0, 0);
    for (visitor, actor) in &mut people {
        for (desk, service) in &all {
            for form in ["html", "pdf"] {
                let known = actor.get(&format!("{service}format={form}"));
                let shown = visitor.get(&format!("/desk/papers/{}", desk.replace("FORM", form)));
                if known.status != 200 {
                    let _page = shown.page(known.status);
                    refused += 1;
                    continue;
                }
                assert_eq!(shown.reply.status, 200, "{desk}: {}", shown.reply.text);
                assert!(shown.reply.bytes == known.bytes, "{desk} as {form} is another paper");
                for header in ["content-disposition", "content-type"] {
                    assert_eq!(shown.reply.header(header), known.header(header), "{desk} as {form}");
                }
                if form == "html" {
                    let policy = "content-security-policy";
                    assert_eq!(shown.reply.header(policy), known.header(policy));
                }
                handed += 1;
            }
        }
    }
    assert!(handed > 30 && refused > 10, "{handed} handed, {refused} refused");
}

#[test]
fn papers_are_not_for_strangers_nor_for_other_outfits_nor_in_other_forms() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let all = papers(&outfit);
    let other = Furnished::new(&app);
    let mut nobody = Visitor::new(&app);
    let mut elsewhere = Visitor::signed_in(&app, &other, "otto", "manager");
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    for (desk, _) in &all {
        let path = format!("/desk/papers/{}", desk.replace("FORM", "pdf"));
        let door = nobody.get(&path).leads_to().expect("the door");
        assert!(door.starts_with("/desk/sign-in"), "{door}");
        if !desk.starts_with("report") {
            let _none = elsewhere.get(&path).page(404);
        }
        let _none = ida.get(&format!("/desk/papers/{}", desk.replace("FORM", "doc"))).page(404);
    }
}

#[test]
fn the_yards_ticket_leads_to_its_papers() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let filed =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-02", &[log("16", "16")])).expect(201);
    let ticket = id(&filed, "ticket_id");
    let mut sam = Visitor::signed_in(&app, &outfit, "sam", "scaler");
    let shown = sam.get(&format!("/desk/yard/tickets/{ticket}"));
    for form in ["pdf", "html"] {
        let paper = format!("/desk/papers/tickets/{ticket}.{form}");
        assert!(shown.reply.text.contains(&format!("href=\"{paper}\"")), "{}", shown.reply.text);
        assert_eq!(sam.get(&paper).reply.status, 200);
    }
}
