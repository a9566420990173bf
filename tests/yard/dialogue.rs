//! A ticket from the first question to the books, typed at the terminal of a telephone.

use std::path::Path;

use api::http::caller::{Caller, Member};
use serde_json::{Value, json};
use tests::{Furnished, TestApp};
use wire::Role;

use crate::phone::Phone;

/// A Monday: the day the tickets are scaled on is over.
pub const TODAY: &str = "2026-06-15T13:00:00Z";

/// A service, an outfit, and a scaler's telephone.
pub struct Yard {
    pub app: TestApp,
    pub outfit: Furnished,
    pub home: tempfile::TempDir,
}

impl Yard {
    pub fn new() -> Self {
        let app = TestApp::start();
        app.clock.set(TODAY.parse().expect("a time"));
        let outfit = Furnished::new(&app);
        Self { app, outfit, home: tempfile::tempdir().expect("a directory") }
    }

    pub fn token(&self, subject: &str) -> String {
        self.token_of(Role::Scaler, subject)
    }

    /// A token for somebody of the outfit.
    pub fn token_of(&self, role: Role, subject: &str) -> String {
        let subject = subject.to_owned();
        let member = Member { outfit: self.outfit.outfit, role, subject, mill: None, grant: None };
        self.app.token(&Caller::Member(member), jiff::SignedDuration::from_hours(24 * 365))
    }

    pub fn home(&self) -> &Path {
        self.home.path()
    }

    fn phone(&self, words: &[&str]) -> Phone {
        Phone::start(words, &self.app.url(), &self.token("Ada Quill"), self.home(), "xterm")
    }

    /// The tickets in the books, as whoever audits reads them.
    pub fn tickets(&self) -> Vec<Value> {
        let listed = self.outfit.contractor.get("/v1/tickets?limit=100&pieces=scaled").expect(200);
        listed["items"].as_array().expect("tickets").clone()
    }
}

/// The head of the first ticket ever: every line is asked for.
fn first_head(phone: &mut Phone) {
    phone.answer("book> ", "A");
    phone.answer("number [1]> ", "101");
    phone.answer("number [1]> ", "");
    phone.answer("number [1]> ", "north");
    phone.answer("]> ", "2026-06-10");
    phone.answer("scaler> ", "Ada Quill");
    for crew in ["1", "", "", "", "", "team", "-", ""] {
        phone.answer("number, - none [-]> ", crew);
    }
    phone.answer("moved by, - no turn> ", "team");
    phone.answer("feet skidded, - none> ", "300");
    phone.answer("miles hauled, - none> ", "");
    phone.answer("number, - none [-]> ", "1");
    phone.answer("change it> ", "");
}

/// What the terminal says a stick comes to, in the lines behind its own.
fn shown(between: &str, number: usize) -> String {
    let paper: Vec<_> = between.lines().collect();
    let at = paper.iter().rposition(|line| line.starts_with(&format!("{number}. "))).expect("the stick");
    let volume = paper[at + 1..].iter().find(|line| line.starts_with("   gross")).expect("its volume");
    volume.trim().to_owned()
}

#[test]
fn a_ticket_is_typed_mended_and_posted_as_it_was_typed() {
    let yard = Yard::new();
    let mut phone = yard.phone(&["ticket", "new"]);
    first_head(&mut phone);
    phone.answer("1> ", "white pine 14 16");
    let mut volumes = vec![shown(&phone.wait_for("so far 1: "), 1)];
    phone.answer("2> ", "17.5/19 16'4, rot 8x9 for 2");
    phone.wait_for("can be heart rot or butt rot");
    phone.answer("2> ", "17.5/19 16'4, heart rot 8x9 for 2");
    volumes.push(shown(&phone.wait_for("so far 2: "), 2));
    phone.answer("3> ", "");
    phone.wait_for("so far 3: ");
    phone.answer("4> ", "d 3");
    phone.wait_for("Dropped 3.");
    phone.answer("3> ", "hewn oak 12x10 wane 2x1 24");
    phone.wait_for("cannot be scaled");
    phone.answer("4> ", "u");
    phone.wait_for("Undone.");
    phone.answer("3> ", "12 14");
    volumes.push(shown(&phone.wait_for("so far 3: "), 3));
    phone.answer("4> ", "c 1 white pine 15 16");
    volumes[0] = shown(&phone.wait_for("so far 3: "), 1);
    phone.answer("4> ", "w 2");
    phone.wait_for("inches");
    phone.answer("4> ", "pole cedar 35 top 7");
    phone.wait_for("so far 4: ");
    phone.answer("5> ", "m rain since noon");
    phone.wait_for("Noted.");
    phone.answer("5> ", "p");
    phone.answer("y: post it; Enter: go on> ", "");
    phone.answer("5> ", "p");
    let whole = phone.wait_for("y: post it");
    let asked = "remarks: rain since noon";
    assert!(
        whole.contains("TICKET A 101\n") && whole.contains(asked) && whole.contains("team, 300 ft"),
        "{whole}"
    );
    phone.answer("; Enter: go on> ", "y");
    phone.wait_for("sent");
    assert_eq!(phone.end(), 0, "{}", phone.paper());
    phone.fits();
    if std::env::var_os("SKIDWAY_SHOW_DIALOGUE").is_some() {
        println!("{}\n--- the last screen ---\n{}", phone.paper(), phone.screen());
    }
    in_the_books(&yard, &volumes);
}

/// What is in the books is what was typed, and the volumes are what the terminal said.
fn in_the_books(yard: &Yard, volumes: &[String]) {
    let tickets = yard.tickets();
    assert_eq!(tickets.len(), 1);
    let ticket = &tickets[0]["ticket"];
    let log = |small: Value, length: &str| json!({"product": "log", "species": "white pine", "small_diameter_in": small, "length_ft": length});
    let mut second = log(json!(["17.5", "19"]), "16");
    second["length_in"] = "4".into();
    second["defects"] = json!([{"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "9",
                                "length_ft": "2"}]);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"});
    assert_eq!(ticket["pieces"], json!([log(json!(["15"]), "16"), second, log(json!(["12"]), "14"), pole]));
    for (member, value) in [
        ("book", "A"),
        ("scaled_on", "2026-06-10"),
        ("scaler", "Ada Quill"),
        ("remarks", "rain since noon"),
        ("job_id", &yard.outfit.job),
        ("landing_id", &yard.outfit.landing),
    ] {
        assert_eq!(ticket[member], value, "{member}");
    }
    assert_eq!((&ticket["number"], &tickets[0]["accepted_by"]), (&json!(101), &json!("Ada Quill")));
    assert_eq!(ticket["delivered_to"], json!(yard.outfit.mill_id));
    assert_eq!(ticket["turn"], json!({"moved_by": "team", "skid_distance_ft": "300"}));
    let crews: Vec<_> = ticket["work"].as_array().expect("work").iter().map(|one| &one["crew_id"]).collect();
    assert_eq!(crews, [&json!(yard.outfit.felling_crew), &json!(yard.outfit.teamster)]);
    let scaled = tickets[0]["scaled"].as_array().expect("contracts");
    for (at, told) in volumes.iter().enumerate() {
        let felling = scaled.iter().find(|one| one["contract_title"] == "Felling").expect("the felling");
        let (gross, net) = (&felling["pieces"][at]["gross"], &felling["pieces"][at]["net"]);
        let text = |value: &Value| value.as_str().expect("a volume").to_owned();
        assert_eq!(*told, format!("gross {}, net {} board feet", text(gross), text(net)), "stick {}", at + 1);
        let asked = json!({"terms_id": felling["terms_id"], "piece": ticket["pieces"][at]});
        let alone = yard.outfit.scaler.post("/v1/scale/piece", &asked).expect(200);
        assert_eq!((&alone["volume"]["gross"], &alone["volume"]["net"]), (gross, net));
    }
}

/// The battery is empty in the middle of a ticket, and then there is no signal.
#[test]
fn what_was_typed_is_there_again_after_a_kill_and_without_signal() {
    let yard = Yard::new();
    let mut phone = yard.phone(&["ticket", "new"]);
    first_head(&mut phone);
    phone.answer("1> ", "white pine 14 16");
    phone.wait_for("so far 1: ");
    phone.answer("2> ", "15");
    phone.wait_for("so far 2: ");
    phone.kill();
    // Nobody listens at this address now.
    let away = Phone::start(
        &["ticket", "new"],
        "http://127.0.0.1:9",
        &yard.token("Ada Quill"),
        yard.home(),
        "xterm",
    );
    let mut away = away;
    away.wait_for("nothing of the outfit is on");
    assert_eq!(away.end(), 1, "another service has other books");
    let url = yard.app.url();
    let token = yard.token("Ada Quill");
    let Yard { mut app, home, outfit } = yard;
    app.stop(std::time::Duration::ZERO);
    let mut phone = Phone::start(&["ticket", "new"], &url, &token, home.path(), "dumb");
    phone.wait_for("No signal; jobs and crews as of today.");
    phone.wait_for("1 ticket A 101, 2 sticks");
    phone.answer("n: new one> ", "");
    phone.wait_for("No signal; practices as of today.");
    phone.answer("3> ", "16 16");
    phone.wait_for("gross 160, net 160 board feet");
    phone.answer("4> ", "p");
    phone.answer("go on> ", "y");
    phone.wait_for("No signal: kept; 1 waits.");
    assert_eq!(phone.end(), 0, "{}", phone.paper());
    phone.fits();
    assert!(!phone.paper().contains('\u{1b}'), "nothing but text for a terminal that can no more");
    drop(outfit);
}
