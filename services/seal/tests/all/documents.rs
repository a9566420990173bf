//! Documents of records, byte for byte: records that were sealed must be made again in years from now.

use kernel::{Fixed, Id, TicketId};
use seal::{
    Document, Hash, RecordKind, Seal, SealForm, SealKind, SealedDraft, SealedEntry, SealedLine,
    SealedPosting, SealedSettlement, SealedShare, SealedStatement, SealedSupplement, SealedTakeOff,
    SealedTicket, SigningKey, Statement,
};
use serde_json::json;

fn id<I: Id>(last: u128) -> I {
    I::from_uuid(uuid::Uuid::from_u128(0x0197_a000_0000_7000_8000_0000_0000_0000 + last))
}

fn text(document: &Document) -> String {
    String::from_utf8(document.bytes().to_vec()).unwrap()
}

fn ticket() -> SealedTicket {
    SealedTicket {
        kind: RecordKind::Ticket,
        form: seal::TICKET_FORM,
        outfit_id: id(1),
        ticket_id: id(2),
        book: "A".to_owned(),
        number: 12,
        job_id: id(3),
        landing_id: id(4),
        scaled_on: "2026-06-03".parse().unwrap(),
        scaler: "R. Hale".to_owned(),
        work: json!([{"task": "felling", "crew": id::<TicketId>(5).to_string(), "pieces": [1]}]),
        turn: Some(json!({"moved_by": "team"})),
        delivered_to: Some(id(6)),
        pieces: json!([{"product": "log", "length_ft": "16", "small_diameter_in": ["12.5"]}]),
        remarks: Some("wet".to_owned()),
        corrects: Some(id(7)),
        correction_reason: Some("read the wrong end".to_owned()),
        fingerprint: "00".repeat(32),
        measured_at: Some("2026-06-03T10:00:00Z".parse().unwrap()),
        sent_at: Some("2026-06-03T11:00:00.5Z".parse().unwrap()),
        device_clock_ahead_seconds: Some(-3),
        late_for: Some(id(8)),
        accepted_at: "2026-06-03T11:00:03.123456Z".parse().unwrap(),
        accepted_by: "scaler".to_owned(),
    }
}

/// When this fails, add a form; do not change this one.
#[test]
fn a_ticket_of_form_1_stays_as_it_is() {
    let whole = concat!(
        r#"{"accepted_at":"2026-06-03T11:00:03.123456Z","accepted_by":"scaler","book":"A","#,
        r#""correction_reason":"read the wrong end","corrects":"0197a000-0000-7000-8000-000000000007","#,
        r#""delivered_to":"0197a000-0000-7000-8000-000000000006","device_clock_ahead_seconds":-3,"#,
        r#""fingerprint":"0000000000000000000000000000000000000000000000000000000000000000","form":1,"#,
        r#""job_id":"0197a000-0000-7000-8000-000000000003","kind":"ticket","#,
        r#""landing_id":"0197a000-0000-7000-8000-000000000004","#,
        r#""late_for":"0197a000-0000-7000-8000-000000000008","measured_at":"2026-06-03T10:00:00Z","#,
        r#""number":12,"outfit_id":"0197a000-0000-7000-8000-000000000001","#,
        r#""pieces":[{"length_ft":"16","product":"log","small_diameter_in":["12.5"]}],"remarks":"wet","#,
        r#""scaled_on":"2026-06-03","scaler":"R. Hale","sent_at":"2026-06-03T11:00:00.5Z","#,
        r#""ticket_id":"0197a000-0000-7000-8000-000000000002","turn":{"moved_by":"team"},"#,
        r#""work":[{"crew":"0197a000-0000-7000-8000-000000000005","pieces":[1],"task":"felling"}]}"#,
    );
    assert_eq!(text(&Document::of(&ticket()).unwrap()), whole);
    let short = SealedTicket {
        turn: None,
        delivered_to: None,
        remarks: None,
        corrects: None,
        correction_reason: None,
        measured_at: None,
        sent_at: None,
        device_clock_ahead_seconds: None,
        late_for: None,
        ..ticket()
    };
    assert!(!text(&Document::of(&short).unwrap()).contains("null"), "what is absent is left out");
}

fn line() -> SealedLine {
    SealedLine {
        line_number: 1,
        week_ends_on: "2026-06-06".parse().unwrap(),
        contract_id: id(3),
        terms_id: id(4),
        rate_number: 1,
        crew_id: Some(id(5)),
        share_set_id: Some(id(6)),
        worker_id: None,
        mill_id: None,
        quantity: Fixed::from_millionths(240_500_000),
        pieces: 2,
        amount_minor: -28,
        entered: vec![uuid::Uuid::nil()],
        withdrawn: Vec::new(),
    }
}

fn settlement() -> SealedSettlement {
    SealedSettlement {
        kind: RecordKind::Settlement,
        form: seal::SETTLEMENT_FORM,
        outfit_id: id(1),
        currency: "USD".to_owned(),
        settlement_id: id(2),
        week_ends_on: "2026-06-06".parse().unwrap(),
        draft: SealedDraft {
            lines: json!([]),
            pays: json!([]),
            volumes: json!([]),
            fingerprint: "ff".repeat(32),
            drafted_at: "2026-06-08T12:00:00Z".parse().unwrap(),
            drafted_by: "bookkeeper".to_owned(),
        },
        posted_at: "2026-06-08T13:00:00Z".parse().unwrap(),
        posted_by: "bookkeeper".to_owned(),
        lines: vec![line()],
        shares: vec![SealedShare {
            line_number: 1,
            position: 1,
            worker_id: Some(id(7)),
            mill_id: None,
            amount_minor: -28,
        }],
        supplements: vec![SealedSupplement {
            worker_id: id(7),
            week_ends_on: "2026-06-06".parse().unwrap(),
            supplement: "rest_pay".to_owned(),
            amount_minor: 5,
        }],
        take_offs: vec![SealedTakeOff {
            worker_id: id(7),
            position: 1,
            contract_id: None,
            advance_id: None,
            charge_id: Some(id(8)),
            due_minor: 60,
            taken_minor: 0,
        }],
        statements: vec![SealedStatement {
            statement_id: id(9),
            worker_id: Some(id(7)),
            mill_id: None,
            opening_minor: 1,
            moved_minor: 2,
            earned_minor: 3,
            added_minor: 4,
            kept_back_minor: 5,
            closing_minor: 6,
        }],
        journal_entry: Some(SealedEntry {
            journal_entry_id: id(10),
            dated: "2026-06-06".parse().unwrap(),
            says: "Settlement".to_owned(),
            made_at: "2026-06-08T13:00:00Z".parse().unwrap(),
            made_by: "bookkeeper".to_owned(),
            postings: vec![SealedPosting {
                position: 1,
                account: "work_expense".to_owned(),
                task: Some("felling".to_owned()),
                worker_id: None,
                mill_id: None,
                detail: None,
                amount_minor: 9_007_199_254_740_993,
            }],
        }),
    }
}

/// When this fails, add a form; do not change this one.
#[test]
fn a_settlement_of_form_1_stays_as_it_is() {
    let document = Document::of(&settlement()).unwrap();
    // SHA-256 of a zero byte and the document, made apart from this code.
    let hash = "12a9b8762ccf0294a36872b34dfe3779cd9769c0380af2edd653b4ced2938997";
    assert_eq!(document.hash().to_string(), hash, "{}", text(&document));
    for part in [
        r#""amount_minor":"9007199254740993""#,
        r#""quantity":"240.5""#,
        r#""amount_minor":"-28","#,
        r#""taken_minor":"0""#,
        r#""pieces":"2""#,
    ] {
        assert!(text(&document).contains(part), "{part}");
    }
    assert_eq!(seal::inexact_number(&serde_json::to_value(settlement()).unwrap()), None);
}

/// When this fails, add a form; do not change this one. The signature over it is Ed25519's, which is always the same.
#[test]
fn a_seal_of_form_1_stays_as_it_is() {
    let key = SigningKey::from_seed(&[7; 32]).unwrap();
    let statement = Statement {
        kind: SealKind::Seal,
        form: SealForm,
        outfit_id: id(1),
        seal_id: id(2),
        tree_size: 0,
        root_hash: Hash::of_nothing(),
        settlement_id: Some(id(3)),
        seal_key_id: id(4),
        public_key: key.public(),
        made_by: "bookkeeper".to_owned(),
        made_at: "2026-06-08T13:00:00.000001Z".parse().unwrap(),
    };
    let bytes = String::from_utf8(statement.signed_bytes().unwrap()).unwrap();
    let expected = format!(
        concat!(
            r#"{{"form":1,"kind":"seal","made_at":"2026-06-08T13:00:00.000001Z","made_by":"bookkeeper","#,
            r#""outfit_id":"0197a000-0000-7000-8000-000000000001","public_key":"{}","#,
            r#""root_hash":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","#,
            r#""seal_id":"0197a000-0000-7000-8000-000000000002","#,
            r#""seal_key_id":"0197a000-0000-7000-8000-000000000004","#,
            r#""settlement_id":"0197a000-0000-7000-8000-000000000003","tree_size":0}}"#,
        ),
        key.public()
    );
    assert_eq!(bytes, expected);
    let seal = Seal::sign(statement, &key).unwrap();
    // As it is saved and read again.
    let saved = serde_json::to_string_pretty(&seal).unwrap();
    let read: Seal = serde_json::from_str(&saved).unwrap();
    assert!(read.is_signed() && read == seal);
    for (of, by) in [("\"form\": 1", "\"form\": 2"), ("\"kind\": \"seal\"", "\"kind\": \"ticket\"")] {
        assert!(saved.contains(of));
        assert!(serde_json::from_str::<Seal>(&saved.replace(of, by)).is_err(), "{by}");
    }
    let more = saved.replace("\"form\": 1,", "\"form\": 1, \"says\": \"unsigned\",");
    assert!(serde_json::from_str::<Seal>(&more).is_err(), "what is not signed is not taken");
    for place in 0..64 {
        let mut signature = *seal.signature.bytes();
        signature[place] ^= 1;
        assert!(!Seal { signature: seal::Signature::from_bytes(signature), ..seal.clone() }.is_signed());
    }
}
