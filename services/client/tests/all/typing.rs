//! Sticks as they are typed: a truth table, what is not understood, and the law that what is written is read back.

use client::typing::{Context, read, written};
use proptest::prelude::*;
use scaling::Piece;
use serde_json::{Map, Value, json};

fn piece(document: Value) -> Piece {
    serde_json::from_value(document).unwrap()
}

fn log(small: Value, length: &str) -> Value {
    json!({"product": "log", "species": "white pine", "small_diameter_in": small, "length_ft": length})
}

fn with(mut document: Value, more: Value) -> Value {
    let more = more.as_object().unwrap().clone();
    document.as_object_mut().unwrap().extend(more);
    document
}

fn plain() -> Value {
    log(json!(["14"]), "16")
}

fn defect_of(defect: Value) -> Value {
    with(plain(), json!({"defects": [defect]}))
}

type Cases = Vec<(&'static str, Value)>;

fn logs() -> Cases {
    vec![
        ("white pine 14 16", plain()),
        ("LOG  white pine 14 16ft", plain()),
        ("14 16", plain()),
        ("14", plain()),
        ("\"white pine\" 14in 16", plain()),
        ("white pine 14/15.5 16", log(json!(["14", "15.5"]), "16")),
        ("14 / 15.5 16", log(json!(["14", "15.5"]), "16")),
        (".5 16", log(json!(["0.5"]), "16")),
        ("14 16'4", with(plain(), json!({"length_in": "4"}))),
        ("14 16'4.25\"", with(plain(), json!({"length_in": "4.25"}))),
        ("14 16’4”", with(plain(), json!({"length_in": "4"}))),
        ("14 16'", plain()),
        (
            "14 16 large 18/19 middle 16 butt 20",
            with(
                plain(),
                json!({"large_diameter_in": ["18", "19"], "middle_diameter_in": ["16"],
                              "butt_diameter_in": ["20"]}),
            ),
        ),
        (
            "14 grade 2 marks \"HX \"\"7\"\"\" no 17",
            with(plain(), json!({"grade": "2", "marks": "HX \"7\"", "stick_number": "17"})),
        ),
        ("14 16 marks 36cm no 4m", with(plain(), json!({"marks": "36cm", "stick_number": "4m"}))),
    ]
}

fn defects() -> Cases {
    vec![
        (
            "14 16, heart rot 8x9 for 2 from 14",
            defect_of(json!({"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "9",
                       "length_ft": "2", "from_small_end_ft": "14"})),
        ),
        (
            "14, seam 60deg for 8",
            defect_of(json!({"kind": "seam", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"})),
        ),
        ("14, break cut 2", defect_of(json!({"kind": "break", "method": "length_cut", "length_ft": "2"}))),
        (
            "14, sap rot deep 2",
            defect_of(json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "2"})),
        ),
        ("14, sweep out 3", defect_of(json!({"kind": "sweep", "method": "sweep", "departure_in": "3"}))),
        (
            "14, crook out 3 for 6",
            defect_of(json!({"kind": "crook", "method": "crook", "deflection_in": "3", "length_ft": "6"})),
        ),
        (
            "14, heart rot oval 10x7 for 4",
            defect_of(json!({"kind": "heart_rot", "method": "ellipse", "major_in": "10", "minor_in": "7",
                       "length_ft": "4"})),
        ),
        (
            "14, shake core 9 for 4",
            defect_of(
                json!({"kind": "ring_shake", "method": "sound_core", "core_in": "9", "length_ft": "4"}),
            ),
        ),
        (
            "14, butt rot 15% because \"soft, and wet\"",
            defect_of(
                json!({"kind": "butt_rot", "method": "estimate", "percent": "15", "reason": "soft, and wet"}),
            ),
        ),
        (
            "14, sound knot note low",
            defect_of(json!({"kind": "sound_knot", "method": "noted", "note": "low"})),
        ),
    ]
}

fn other_products() -> Cases {
    vec![
        (
            "hewn white oak 12x10 wane 2x1.5 24",
            json!({"product": "hewn_timber", "species": "white oak", "length_ft": "24", "small_end":
                {"width_in": "12", "thickness_in": "10", "wane": [{"width_in": "2", "thickness_in": "1.5"}]}}),
        ),
        (
            "hewn middle 12 x 10 24 ordered 12x10 score 0.5 bent 1 askew .25 from 9 refused \"split\"",
            json!({"product": "hewn_timber", "species": "white pine", "length_ft": "24", "middle":
                {"width_in": "12", "thickness_in": "10"}, "ordered_width_in": "12", "ordered_thickness_in": "10",
                "score_mark_depth_in": "0.5", "straightness_in": "1", "out_of_square_in": "0.25",
                "hewn_from": "9", "refused": "split"}),
        ),
        (
            "tie oak 9x7 8'6 round 12",
            json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8",
                "length_in": "6", "log_diameter_in": "12"}),
        ),
        (
            "pole cedar 35 top 7",
            json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"}),
        ),
        (
            "pile spruce 16'6 high 4'3/4 sticks 4, loosely ranked 5% because gaps",
            json!({"product": "ranked_pile", "species": "spruce", "length_ft": "16", "length_in": "6",
                "heights": [{"feet": "4", "inches": "3"}, {"feet": "4"}], "stick_length_ft": "4", "defects": [
                {"kind": "loosely_ranked", "method": "estimate", "percent": "5", "reason": "gaps"}]}),
        ),
        (
            "log fir 36/38cm 4.9m, break cut 1",
            json!({"product": "log", "species": "fir", "small_diameter_cm": ["36", "38"], "length_m": "4.9",
                "defects": [{"kind": "break", "method": "length_cut", "length_m": "1"}]}),
        ),
        (
            "pile birch 5m high 1.2/1.3 sticks 1",
            json!({"product": "ranked_pile", "species": "birch", "length_m": "5", "heights_m": ["1.2", "1.3"],
                "stick_length_m": "1"}),
        ),
    ]
}

#[test]
fn a_line_is_the_stick_it_says() {
    let before = piece(plain());
    for (line, document) in [logs(), defects(), other_products()].concat() {
        let context = Context { before: Some(&before), metric: false };
        let understood = read(line, &context).unwrap_or_else(|misread| panic!("{line}: {misread}"));
        assert_eq!(understood, piece(document), "{line}");
    }
    let bare = read("fir 36 4.9", &Context { before: None, metric: true }).unwrap();
    let metric = json!({"product": "log", "species": "fir", "small_diameter_cm": ["36"], "length_m": "4.9"});
    assert_eq!(bare, piece(metric));
}

/// Each says what to type; none is taken for something else.
#[test]
fn what_is_not_understood_is_explained() {
    let before = piece(log(json!(["14"]), "16"));
    let cases = [
        ("pine", "the small end is missing"),
        ("pine fourteen 16", "the length is missing"),
        ("14 15 16", "there are two lengths"),
        ("0 16", "0 is not a size"),
        ("14 201", "at most 200 feet"),
        ("14 1/2 16", "half inches go with a point"),
        ("14 16, rot", "can be heart rot or butt rot or sap rot"),
        ("14 16, mould 2", "is no defect"),
        ("14 16, seam 60deg", "seam: the length is missing"),
        ("14 16, heart rot 15%", "an estimate needs what it rests on"),
        ("14 16, heart rot 8 for 2", "width by thickness"),
        ("14 16 top 7", "\"top\" is not understood of a log"),
        ("14 16 grade", "a word is missing"),
        ("14cm 16ft", "one of the two"),
        ("14..5 16", "is no size"),
        ("14 16 marks \"HX", "not closed"),
        ("tie oak 9 8.5", "there are two lengths"),
        ("tie oak 9x7 8.5, check", "no defects are written"),
        ("hewn oak 12x10 wane 20x1 16", "does not fit"),
        ("hewn oak 24 wane 2x1", "wane goes behind the section"),
        ("pole cedar 35cm", "inches and feet"),
        ("14 large 15 large 16", "given twice"),
        ("140mm 16", "centimetres"),
    ];
    for (line, says) in cases {
        let before = if line.starts_with("pine") { None } else { Some(&before) };
        match read(line, &Context { before, metric: false }) {
            Ok(understood) => panic!("{line} was taken for {understood:?}"),
            Err(misread) => {
                assert!(misread.to_string().contains(says), "{line}: {misread}");
                assert!(!misread.to_string().contains('_'), "{line}: {misread}");
            }
        }
    }
}

fn number(most: u32) -> impl Strategy<Value = String> {
    (1..most, 0_u32..100).prop_map(|(whole, part)| match part {
        0 => whole.to_string(),
        part if part % 10 == 0 => format!("{whole}.{}", part / 10),
        part => format!("{whole}.{part:02}"),
    })
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{2,9}",
        "[A-Za-z]{1,6} [a-z]{2,6}",
        r#"[a-zA-Z0-9"',.x/ -]{0,8}[a-z0-9"“”’%°]"#,
        Just("tie".to_owned()),
        Just("large oak".to_owned()),
        Just("x".to_owned()),
    ]
    .prop_map(|text| text.trim().to_owned())
}

fn species() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{2,9}",
        "[A-Z][a-z]{2,6} [a-z]{2,6}",
        "[a-zA-Z0-9' -]{0,8}[a-z0-9’]",
        Just("pole pine".to_owned()),
        Just("no".to_owned()),
    ]
    .prop_map(|text| text.trim().to_owned())
}

/// Some of these members.
fn some(members: Vec<(&'static str, BoxedStrategy<Value>)>) -> BoxedStrategy<Map<String, Value>> {
    let each: Vec<_> = members
        .into_iter()
        .map(|(name, value)| {
            proptest::option::of(value).prop_map(move |value| Some((name.to_owned(), value?)))
        })
        .collect();
    each.prop_map(|members| members.into_iter().flatten().collect()).boxed()
}

fn text() -> BoxedStrategy<Value> {
    words().prop_map(Value::from).boxed()
}

fn size(most: u32) -> BoxedStrategy<Value> {
    number(most).prop_map(Value::from).boxed()
}

fn readings(most: u32) -> BoxedStrategy<Value> {
    proptest::collection::vec(number(most), 1..=2).prop_map(|readings| json!(readings)).boxed()
}

fn section() -> BoxedStrategy<Value> {
    let corner = (number(3), number(3))
        .prop_map(|(width, thickness)| json!({"width_in": width, "thickness_in": thickness}));
    (10_u32..30, 10_u32..30, proptest::collection::vec(corner, 0..4))
        .prop_map(|(width, thickness, wane)| {
            let mut section = json!({"width_in": width.to_string(), "thickness_in": thickness.to_string()});
            if !wane.is_empty() {
                section["wane"] = json!(wane);
            }
            section
        })
        .boxed()
}

fn of_all() -> Vec<(&'static str, BoxedStrategy<Value>)> {
    vec![("grade", text()), ("marks", text()), ("stick_number", text())]
}

fn defect(metric: bool) -> BoxedStrategy<Value> {
    let across = move |name: &str| format!("{name}_{}", if metric { "cm" } else { "in" });
    let along = move |name: &str| format!("{name}_{}", if metric { "m" } else { "ft" });
    let kinds = ["heart_rot", "check", "sweep", "crook", "break", "other", "ring_shake", "loosely_ranked"];
    let methods: Vec<(&str, Vec<&str>, bool)> = vec![
        ("squared", vec!["width", "height"], true),
        ("ellipse", vec!["major", "minor"], true),
        ("sound_core", vec!["core"], true),
        ("crook", vec!["deflection"], true),
        ("length_cut", vec![], true),
        ("pie_cut", vec![], true),
        ("diameter_cut", vec!["depth"], false),
        ("sweep", vec!["departure"], false),
        ("estimate", vec![], false),
        ("noted", vec![], false),
    ];
    let figures = (number(40), number(40), number(40), proptest::option::of(number(20)));
    (
        proptest::sample::select(kinds.to_vec()),
        proptest::sample::select(methods),
        figures,
        words(),
        proptest::option::of(words()),
    )
        .prop_map(move |(kind, (method, sizes, runs), (first, second, length, from), reason, note)| {
            let mut made = json!({"kind": kind, "method": method});
            for (name, value) in sizes.iter().zip([first.clone(), second]) {
                made[across(name)] = value.into();
            }
            if runs {
                made[along("length")] = length.into();
                from.into_iter().for_each(|from| made[along("from_small_end")] = from.into());
            }
            if method == "pie_cut" {
                made["angle_degrees"] = first.clone().into();
            }
            if method == "estimate" {
                made["percent"] = first.into();
                made["reason"] = reason.into();
            }
            note.into_iter().for_each(|note| made["note"] = note.into());
            made
        })
        .boxed()
}

fn any_log() -> BoxedStrategy<Value> {
    let more = [
        ("middle_diameter_in", readings(40)),
        ("large_diameter_in", readings(40)),
        ("butt_diameter_in", readings(40)),
        ("length_in", size(11)),
    ];
    (
        readings(40),
        number(60),
        some([of_all(), more.into()].concat()),
        proptest::collection::vec(defect(false), 0..3),
    )
        .prop_map(|(small, length, more, defects)| {
            let made = json!({"product": "log", "small_diameter_in": small, "length_ft": length,
                                  "defects": defects});
            with(made, Value::Object(more))
        })
        .boxed()
}

fn any_metric_log() -> BoxedStrategy<Value> {
    let more = [("middle_diameter_cm", readings(90)), ("large_diameter_cm", readings(90))];
    (
        readings(90),
        number(19),
        some([of_all(), more.into()].concat()),
        proptest::collection::vec(defect(true), 0..3),
    )
        .prop_map(|(small, length, more, defects)| {
            let made = json!({"product": "log", "small_diameter_cm": small, "length_m": length,
                                  "defects": defects});
            with(made, Value::Object(more))
        })
        .boxed()
}

fn faces() -> Vec<(&'static str, BoxedStrategy<Value>)> {
    vec![
        ("score_mark_depth_in", size(3)),
        ("straightness_in", size(3)),
        ("out_of_square_in", size(3)),
        ("hewn_from", text()),
        ("refused", text()),
        ("length_in", size(11)),
    ]
}

fn any_hewn() -> BoxedStrategy<Value> {
    let more = [
        ("middle", section()),
        ("large_end", section()),
        ("small_end", section()),
        ("ordered_width_in", size(20)),
        ("ordered_thickness_in", size(20)),
    ];
    (section(), number(60), some([of_all(), faces(), more.into()].concat()))
        .prop_map(|(middle, length, more)| {
            with(
                json!({"product": "hewn_timber", "middle": middle, "length_ft": length}),
                Value::Object(more),
            )
        })
        .boxed()
}

fn any_tie() -> BoxedStrategy<Value> {
    (
        number(20),
        number(20),
        number(20),
        some([of_all(), faces(), vec![("log_diameter_in", size(30))]].concat()),
    )
        .prop_map(|(width, thickness, length, more)| {
            let made =
                json!({"product": "tie", "width_in": width, "thickness_in": thickness, "length_ft": length});
            with(made, Value::Object(more))
        })
        .boxed()
}

fn any_pole() -> BoxedStrategy<Value> {
    (
        number(90),
        some(
            [of_all(), vec![("top_diameter_in", size(20)), ("refused", text()), ("length_in", size(11))]]
                .concat(),
        ),
    )
        .prop_map(|(length, more)| with(json!({"product": "pole", "length_ft": length}), Value::Object(more)))
        .boxed()
}

fn any_pile() -> BoxedStrategy<Value> {
    let height = (number(9), proptest::option::of(number(11))).prop_map(|(feet, inches)| match inches {
        Some(inches) => json!({"feet": feet, "inches": inches}),
        None => json!({"feet": feet}),
    });
    let pile_more = || some([of_all(), vec![("refused", text())]].concat());
    let pile = (
        number(40),
        proptest::collection::vec(height, 1..5),
        number(9),
        proptest::option::of(number(11)),
        pile_more(),
    )
        .prop_map(|(length, heights, sticks, inches, more)| {
            let mut made = json!({"product": "ranked_pile", "length_ft": length, "heights": heights,
                                  "stick_length_ft": sticks});
            inches.into_iter().for_each(|inches| made["stick_length_in"] = inches.into());
            with(made, Value::Object(more))
        })
        .boxed();
    let metric_pile = (number(40), proptest::collection::vec(number(4), 1..5), number(3), pile_more())
        .prop_map(|(length, heights, sticks, more)| {
            let made = json!({"product": "ranked_pile", "length_m": length, "heights_m": heights,
                              "stick_length_m": sticks});
            with(made, Value::Object(more))
        })
        .boxed();
    prop_oneof![pile, metric_pile].boxed()
}

fn any_stick() -> BoxedStrategy<Value> {
    let sticks = prop_oneof![
        3 => any_log(), 1 => any_metric_log(), 2 => any_hewn(), 1 => any_tie(), 1 => any_pole(), 2 => any_pile()
    ];
    (sticks, species()).prop_map(|(stick, species)| with(stick, json!({"species": species}))).boxed()
}

/// How many sticks are made up; `PROPTEST_CASES` asks for more.
fn proptest_cases() -> u32 {
    std::env::var("PROPTEST_CASES").ok().map_or(1_500, |cases| cases.parse().unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(proptest_cases()) })]

    /// Whatever a stick is, what is shown as understood is read back as the same stick, whatever the one before was and
    /// whichever system bare numbers are in.
    #[test]
    fn what_is_written_is_read_back(stick in any_stick(), before in any_stick(), metric: bool) {
        let (Ok(stick), Ok(before)) = (serde_json::from_value::<Piece>(stick), serde_json::from_value::<Piece>(before))
        else { return Err(TestCaseError::reject("a stick that cannot be")) };
        let line = written(&stick, metric);
        let context = Context { before: Some(&before), metric };
        let again = read(&line, &context);
        prop_assert_eq!(again.as_ref(), Ok(&stick), "{}", line);
    }

    /// No line brings it down.
    #[test]
    fn any_line_is_understood_or_explained(line in ".{0,60}", before in any_stick(), metric: bool) {
        let before = serde_json::from_value::<Piece>(before).ok();
        if let Err(misread) = read(&line, &Context { before: before.as_ref(), metric }) {
            prop_assert!(!misread.to_string().is_empty());
        }
    }
}
