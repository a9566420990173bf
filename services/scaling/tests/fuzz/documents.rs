//! The parsers: any JSON at all, good documents with one part of them turned into another, and text that is broken.
//!
//! What is refused is refused without a panic; what is taken is written and read again, and held to the law.

use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use scaling::{Alternation, DirectRequest, Piece, Practice};
use serde_json::{Value, json};

use crate::good_documents::{good_pieces, good_practice, good_requests};
use crate::law;
use crate::made_up::{LOG_RULES, log};
use crate::running::run;

/// Words of the documents.
const WORDS: [&str; 56] = [
    "product",
    "log",
    "hewn_timber",
    "tie",
    "pole",
    "species",
    "small_diameter_in",
    "large_diameter_in",
    "length_ft",
    "length_in",
    "defects",
    "kind",
    "method",
    "squared",
    "sweep",
    "width_in",
    "thickness_in",
    "small_end",
    "wane",
    "rule",
    "doyle",
    "vermont",
    "diameter_in",
    "classes",
    "name",
    "step",
    "mode",
    "volume_rounding",
    "half_up",
    "refused",
    "unit",
    "edition",
    "print",
    "system",
    "metric",
    "small_diameter_cm",
    "length_m",
    "from_small_end_ft",
    "least_top",
    "narrow_way_in",
    "division",
    "georgia",
    "taper_in_per_feet",
    "tolerances",
    "estimate",
    "percent",
    "grade_only_kinds",
    "alternating",
    "ranked_pile",
    "heights",
    "feet",
    "stick_length_ft",
    "heights_m",
    "cord",
    "nominal_sticks",
    "most_trim_in",
];

/// Any JSON at all, made mostly of the words the documents use.
fn any_json() -> impl Strategy<Value = Value> {
    let word = prop::sample::select(&WORDS[..]);
    let number = prop::sample::select(
        &["0", "1", "12", "240", "16.5", "-3", "1/3", "1e9", "999999999999999999999", "0.0001", ""][..],
    );
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        number.prop_map(Value::from),
        word.clone().prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 48, 8, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
            prop::collection::vec((word.clone(), inner), 0..8).prop_map(|members| members
                .into_iter()
                .map(|(name, value)| (name.to_owned(), value))
                .collect::<serde_json::Map<_, _>>()
                .into()),
        ]
    })
}

/// Every place in a document.
fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| places(value, &format!("{at}/{name}"), found));
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(place, item)| places(item, &format!("{at}/{place}"), found));
        }
        _ => {}
    }
}

/// The document with one place of it turned into something else.
fn spoilt(document: &Value, pick: usize, by: Value) -> Value {
    let mut found = Vec::new();
    places(document, "", &mut found);
    let mut changed = document.clone();
    *changed.pointer_mut(&found[pick % found.len()]).unwrap() = by;
    changed
}

/// Scales what of the pieces can be read by what of the practice can be read.
fn try_all(pieces: &[Value], practice: &Value) -> Result<(), TestCaseError> {
    let Ok(practice) = serde_json::from_value::<Practice>(practice.clone()) else { return Ok(()) };
    law::there_and_back(&practice)?;
    for piece in pieces {
        if let Ok(piece) = serde_json::from_value::<Piece>(piece.clone()) {
            law::there_and_back(&piece)?;
            law::of_a_piece(&practice, &piece, Alternation::default())?;
        }
    }
    Ok(())
}

fn try_request(request: Value) -> Result<(), TestCaseError> {
    let Ok(request) = serde_json::from_value::<DirectRequest>(request) else { return Ok(()) };
    law::there_and_back(&request)?;
    law::of_a_request(&request)
}

#[test]
fn any_document() {
    run("any_document", 2_000, &any_json(), |document| {
        try_all(&good_pieces(), &document)?;
        try_all(std::slice::from_ref(&document), &good_practice("doyle"))?;
        try_request(document)
    });
}

/// A good document with one part of it turned into something else.
#[test]
fn spoilt_documents() {
    let rule = prop::sample::select(&LOG_RULES[..]);
    let inputs = (log(), rule, 0_usize..good_pieces().len(), any::<usize>(), any_json());
    run("spoilt_documents", 1_000, &inputs, |(log, rule, which, pick, by)| {
        try_all(&[spoilt(&log, pick, by.clone())], &json!({"log": {"rule": rule}}))?;
        let (pieces, practice) = (good_pieces(), good_practice(rule));
        try_all(&[spoilt(&pieces[which], pick, by.clone())], &practice)?;
        let requests = good_requests();
        try_request(spoilt(&requests[which % requests.len()], pick, by.clone()))?;
        try_all(&pieces, &spoilt(&practice, pick, by))
    });
}

/// A size of one member in the place of another's.
#[test]
fn exchanged_sizes() {
    let rule = prop::sample::select(&LOG_RULES[..]);
    let sizes = ["0", "0.0001", "0.5", "1", "3.9999", "5.5", "39.9999", "199.9999", "240"];
    let inputs = (rule, 0_usize..good_pieces().len(), any::<usize>(), prop::sample::select(sizes.to_vec()));
    run("exchanged_sizes", 500, &inputs, |(rule, which, pick, size)| {
        let (pieces, practice) = (good_pieces(), good_practice(rule));
        for by in [json!(size), json!([size]), json!([size, "13.5"])] {
            try_all(&[spoilt(&pieces[which], pick, by.clone())], &practice)?;
            let requests = good_requests();
            try_request(spoilt(&requests[which % requests.len()], pick, by.clone()))?;
            try_all(&pieces, &spoilt(&practice, pick, by))?;
        }
        Ok(())
    });
}

/// What a slip of the hand, a bad line or a clumsy program makes of a text.
#[derive(Clone, Debug)]
enum Break {
    /// It ends too early.
    Cut,
    /// Bytes of something else in its place, which need not even be text.
    Bytes(Vec<u8>),
    /// A part of it stands twice.
    Twice,
    /// A part of it is missing.
    Missing,
}

fn breaks() -> impl Strategy<Value = Break> {
    let pieces_of_json: &[&str] =
        &["\"", "{", "}", "[", "]", ",", ":", "\\u0000", "\\ud800", "1e400", "-0", "nul"];
    prop_oneof![
        Just(Break::Cut),
        prop::collection::vec(any::<u8>(), 1..4).prop_map(Break::Bytes),
        prop::sample::select(pieces_of_json).prop_map(|text| Break::Bytes(text.as_bytes().to_vec())),
        Just(Break::Twice),
        Just(Break::Missing),
    ]
}

/// The bytes with a break between two places of them.
fn broken(bytes: &[u8], from: usize, to: usize, by: &Break) -> Vec<u8> {
    let (from, to) = (from % (bytes.len() + 1), to % (bytes.len() + 1));
    let (from, to) = (from.min(to), from.max(to));
    let (before, part, after) = (&bytes[..from], &bytes[from..to], &bytes[to..]);
    match by {
        Break::Cut => before.to_vec(),
        Break::Bytes(other) => [before, other, part, after].concat(),
        Break::Twice => [before, part, part, after].concat(),
        Break::Missing => [before, after].concat(),
    }
}

/// The text of a good document, broken in one to three places.
#[test]
fn broken_text() {
    let documents: Vec<Value> = good_pieces()
        .into_iter()
        .chain(good_requests())
        .chain([good_practice("doyle"), good_practice("smalian")])
        .collect();
    let texts: Vec<Vec<u8>> = documents.iter().map(|document| document.to_string().into_bytes()).collect();
    let place = (any::<usize>(), any::<usize>(), breaks());
    let inputs = (prop::sample::select(texts), prop::collection::vec(place, 1..4));
    run("broken_text", 4_000, &inputs, |(mut bytes, places)| {
        for (from, to, by) in places {
            // Most breaks are short, or little of the document would be left to read.
            bytes = broken(&bytes, from, from.saturating_add(to % 9), &by);
        }
        if let Ok(piece) = serde_json::from_slice::<Piece>(&bytes) {
            law::there_and_back(&piece)?;
        }
        if let Ok(practice) = serde_json::from_slice::<Practice>(&bytes) {
            law::there_and_back(&practice)?;
            try_all(&good_pieces(), &json!(practice))?;
        }
        if let Ok(request) = serde_json::from_slice::<DirectRequest>(&bytes) {
            law::of_a_request(&request)?;
        }
        Ok(())
    });
}
