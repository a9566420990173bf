//! `skid seal` and `skid verify`: what is saved from a service is verified from the files alone.

use std::fs;
use std::path::{Path, PathBuf};

use seal::{
    Document, Hash, Seal, SealForm, SealKind, SigningKey, Statement, consistency_path, inclusion_path,
};
use serde_json::{Value, json};

use crate::posting::{out, skid};
use crate::server::{Reply, Server, nobody};

const ID: &str = "0197a000-0000-7000-8000-000000000051";

/// Records of an invented outfit, the last of them a settlement.
fn records() -> Vec<Value> {
    let day = |number: u32| format!("2031-06-0{number}T12:00:00Z");
    let ticket = |number: u32| json!({"kind": "ticket", "form": 1, "book": "A", "number": number, "accepted_at": day(number)});
    let week = json!({"kind": "settlement", "form": 1, "week_ends_on": "2031-06-07",
                      "posted_at": "2031-06-09T12:00:00Z"});
    (1..=6).map(ticket).chain([week]).collect()
}

fn leaves() -> Vec<Hash> {
    records().iter().map(|record| Document::of(record).unwrap().hash()).collect()
}

fn key() -> SigningKey {
    SigningKey::from_seed(&[7; 32]).unwrap()
}

/// The seal over the first records, made on a day of June.
fn seal(size: usize, day: u32) -> Seal {
    let statement = Statement {
        kind: SealKind::Seal,
        form: SealForm,
        outfit_id: ID.parse().unwrap(),
        seal_id: format!("0197a000-0000-7000-8000-0000000000{size:02}").parse().unwrap(),
        tree_size: size.try_into().unwrap(),
        root_hash: seal::root(&leaves()[..size]),
        settlement_id: None,
        seal_key_id: ID.parse().unwrap(),
        public_key: key().public(),
        made_by: "Bookkeeper".to_owned(),
        made_at: format!("2031-06-{day:02}T13:00:00Z").parse().unwrap(),
    };
    Seal::sign(statement, &key()).unwrap()
}

fn proof_of(position: usize) -> Value {
    let path = inclusion_path(&leaves(), position).unwrap();
    json!({"seal": seal(7, 9), "position": position, "leaf_hash": leaves()[position], "path": path,
           "document": lines().lines().nth(position)})
}

fn lines() -> String {
    let line = |record: &Value| String::from_utf8(seal::canonical(record).unwrap()).unwrap() + "\n";
    records().iter().map(line).collect()
}

/// A directory that vanishes with the value.
struct Directory(PathBuf);

impl Directory {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("skid-seals-{name}-{}", std::process::id()));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn file(&self, name: &str) -> String {
        self.0.join(name).to_str().unwrap().to_owned()
    }

    fn write(&self, name: &str, value: &Value) -> String {
        fs::write(self.0.join(name), value.to_string()).unwrap();
        self.file(name)
    }
}

impl Drop for Directory {
    fn drop(&mut self) {
        let _gone = fs::remove_dir_all(&self.0);
    }
}

fn saved(directory: &Directory) -> [String; 5] {
    let kept = directory.write("kept.json", &json!(seal(3, 3)));
    let target = directory.file("saved");
    let path = consistency_path(&leaves(), 3).unwrap();
    let server = Server::new(vec![
        Reply::json(200, json!({"items": [seal(3, 3), seal(7, 9)], "next": null})),
        Reply::json(200, json!({"from": seal(3, 3), "to": seal(7, 9), "path": path})),
        Reply::json(200, proof_of(1)),
        Reply::Answer(200, "", lines()),
    ]);
    let words = ["seal", "save", &target, "--kept", &kept, "--ticket", ID, "--records"];
    let output = skid(&server.address, &words, "");
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let ticket = format!("ticket-{ID}.json");
    assert!(out(&output).ends_with(&format!("seal.json, consistency.json, {ticket}, records.ndjson\n")));
    let (kept_id, id) = (seal(3, 3).statement.seal_id, seal(7, 9).statement.seal_id);
    assert_eq!(
        server.lines(),
        [
            "GET /v1/seals?limit=500".to_owned(),
            format!("GET /v1/seals/{id}/consistency?from={kept_id}"),
            format!("GET /v1/seals/{id}/inclusion?ticket_id={ID}"),
            format!("GET /v1/seals/{id}/records?from=0"),
        ]
    );
    let file = |name: &str| Path::new(&target).join(name).to_str().unwrap().to_owned();
    [kept, file("seal.json"), file("consistency.json"), file(&ticket), file("records.ndjson")]
}

#[test]
fn what_was_saved_is_verified_without_a_service() {
    let directory = Directory::new("good");
    let [kept, seal, consistency, ticket, records] = saved(&directory);
    let key = key().public().to_string();
    let all = [
        "verify",
        "--seal",
        &seal,
        "--key",
        &key,
        "--kept",
        &kept,
        "--consistency",
        &consistency,
        "--record",
        &ticket,
        "--records",
        &records,
    ];
    let output = skid(&nobody(), &all, "");
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
    let said = out(&output).replace("\n  ", " ");
    for says in [
        "shown: the seal of 2031-06-09T13:00:00Z over 7 records was signed with the key",
        "shown: that is the key you named.",
        "nothing that it covers was changed or removed, and nothing was slipped in among it.",
        "shown: ticket A 2, as",
        "is record 2 of 7.",
        "shown: the 7 records that were given are exactly those of",
        "not shown: that the records were true when they were accepted",
    ] {
        assert!(said.contains(says), "{says}\n{said}");
    }
    assert!(!said.contains("WRONG"), "{said}");
    let words: Vec<_> = all.iter().copied().chain(["--json"]).collect();
    let report: Value = serde_json::from_str(&out(&skid(&nobody(), &words, ""))).unwrap();
    assert!(report["claims"].as_array().unwrap().iter().all(|claim| claim["shown"] == true), "{report:#}");
    // A seal that was kept is never written over.
    let server = Server::new(vec![Reply::json(200, json!({"items": [self::seal(7, 9)], "next": null}))]);
    let output = skid(&server.address, &["seal", "save", &directory.file("saved")], "");
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn whatever_does_not_hold_is_told_and_ends_with_five() {
    let directory = Directory::new("bad");
    let [kept, seal, consistency, ticket, records] = saved(&directory);
    let refuted = |words: &[&str], says: &str| {
        let output = skid(&nobody(), words, "");
        let said = out(&output).replace("\n  ", " ");
        assert_eq!(output.status.code(), Some(5), "{words:?}: {said}");
        assert!(said.contains("WRONG") && said.contains(says), "{words:?}: {said}");
    };
    let read = |file: &str| -> Value { serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap() };
    let mut forged = read(&seal);
    forged["statement"]["made_at"] = json!("2031-06-10T13:00:00Z");
    let forged = directory.write("forged.json", &forged);
    refuted(&["verify", "--seal", &forged], "its signature was not made with the key");
    let other = SigningKey::from_seed(&[8; 32]).unwrap().public().to_string();
    refuted(&["verify", "--seal", &seal, "--key", &other], "is not the key you named");
    refuted(&["verify", "--seal", &seal, "--kept", &kept], "held against nothing");
    let mut swapped = read(&consistency);
    swapped["path"].as_array_mut().unwrap().swap(0, 1);
    let swapped = directory.write("swapped.json", &swapped);
    let words = ["verify", "--seal", &seal, "--kept", &kept, "--consistency", &swapped];
    refuted(&words, "is not the beginning of it");
    let mut changed = read(&ticket);
    let document = changed["document"].as_str().unwrap().replace("\"number\":2", "\"number\":9");
    changed["document"] = json!(document);
    let changed = directory.write("changed.json", &changed);
    refuted(&["verify", "--seal", &seal, "--record", &changed], "ticket A 9 is not what was sealed");
    let lines = fs::read_to_string(&records).unwrap();
    let fewer = directory.file("fewer.ndjson");
    fs::write(&fewer, lines.split_once('\n').unwrap().1).unwrap();
    refuted(&["verify", "--seal", &seal, "--records", &fewer], "there are 6 records");
    let other = directory.file("other.ndjson");
    fs::write(&other, lines.replace("\"number\":2", "\"number\":8")).unwrap();
    refuted(&["verify", "--seal", &seal, "--records", &other], "they make up another root");
    refuted(
        &["verify", "--seal", &seal, "--kept", &kept, "--records", &other],
        "the records up to there make up another root",
    );
    // A file that is none of these is a fault, not a finding.
    let output = skid(&nobody(), &["verify", "--seal", &records], "");
    assert_eq!(output.status.code(), Some(1));
}

/// Records after the kept seal that say they were there before it.
#[test]
fn what_is_dated_before_the_kept_seal_and_not_in_it_is_told() {
    let directory = Directory::new("early");
    let kept = directory.write("kept.json", &json!(seal(3, 9)));
    let now = directory.write("seal.json", &json!(seal(7, 10)));
    let records = directory.file("records.ndjson");
    fs::write(&records, lines()).unwrap();
    let output = skid(&nobody(), &["verify", "--seal", &now, "--kept", &kept, "--records", &records], "");
    let said = out(&output).replace("\n  ", " ");
    assert_eq!(output.status.code(), Some(5), "{said}");
    for number in 4..=6 {
        let says = format!("line {number}, ticket A {number}, says that it came in at 2031-06-0{number}");
        assert!(said.contains(&says), "{says}\n{said}");
    }
}

#[test]
fn seals_are_made_listed_shown_and_checked() {
    let whole = seal(7, 9);
    let id = whole.statement.seal_id.to_string();
    let server = Server::new(vec![Reply::json(201, json!(whole))]);
    let output = skid(&server.address, &["seal", "make"], "");
    assert_eq!(server.lines(), ["POST /v1/seals"]);
    for part in [id.as_str(), "2031-06-09T13:00:00Z by Bookkeeper", &whole.statement.root_hash.to_string()] {
        assert!(out(&output).contains(part), "{part}");
    }
    let server = Server::new(vec![Reply::json(200, json!({"items": [seal(3, 3), whole], "next": null}))]);
    let listed = out(&skid(&server.address, &["seal", "list"], ""));
    assert!(listed.lines().count() == 4 && listed.contains(&id), "{listed}");
    let shown = out(&skid(&server.address, &["seal", "show"], ""));
    assert!(shown.contains(&id), "the latest: {shown}");
    let finding = json!({"fault": "record_gone", "says": "ticket 17 was sealed and is not there any more", "position": 4});
    for (findings, status, says) in
        [(json!([]), 0, "nothing is wrong"), (json!([finding]), 5, "not what was sealed")]
    {
        let sound = status == 0;
        let check = json!({"seal": whole, "sound": sound, "records_checked": 7, "seals_checked": 2,
                           "findings": findings, "findings_left_out": 0, "checked_at": "2031-06-10T12:00:00Z"});
        let server = Server::new(vec![Reply::json(200, json!(whole)), Reply::json(200, check)]);
        let output = skid(&server.address, &["seal", "check", &id], "");
        assert_eq!(output.status.code(), Some(status));
        let said = out(&output).replace("\n  ", " ");
        assert!(said.contains(says), "{said}");
        assert_eq!(server.lines()[1], format!("GET /v1/seals/{id}/check"));
    }
}
