//! The working, as a scaler reads it.

use scaling::{Says, ScaleProblem, Scaled, StepKind};
use serde_json::json;

use crate::common::scaled;

#[test]
fn the_working_of_a_defective_log_reads_from_top_to_bottom() {
    let members = json!({
        "small_diameter_in": ["15", "18"], "length_ft": "16", "length_in": "5",
        "defects": [
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"},
            {"kind": "break", "method": "length_cut", "length_ft": "2"},
            {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "4", "length_ft": "6"}
        ]
    });
    let scaled = scaled(json!({"rule": "scribner-decimal-c", "least_trim_in": "3"}), &members).unwrap();
    let says: Vec<&str> = scaled.working.iter().map(|step| step.says.as_str()).collect();
    assert_eq!(
        says,
        [
            "small end: 15 and 18 inches average 16.5, taken as 16 (to the nearest 1, a half dropped)",
            "16 feet 5 inches with at least 3 inches of trim, in multiples of 2 feet, scales as 16 feet",
            "16 inches by 16 feet stands at 160 board feet in the printed table",
            "gross: 160 board feet",
            "length cut of 2 feet, in proportion: 160 × 2 ÷ 16 = 20 board feet",
            "defect 1, catface: pie cut 140 × (8 ÷ 14) × (60 ÷ 360) = 13 1/3 board feet",
            "defect 3, heart_rot: squared 4 × 4 × 6 ÷ 15 = 6.4 board feet",
            "losses of 39 11/15 board feet become 40 (to the nearest 10, a half up)",
            "net: 160 - 40 = 120 board feet",
            "not cull: 120 net is not less than 1/3 of 160 gross, which is 53 1/3",
        ]
    );
}

/// Each figure that a rounding made carries the rounding with it.
#[test]
fn a_rounded_step_names_its_rounding() {
    let members = json!({"small_diameter_in": ["15.5"], "length_ft": "9"});
    let scaled = scaled(json!({"rule": "doyle", "length_multiple_ft": "1"}), &members).unwrap();
    let rounded: Vec<String> = scaled
        .working
        .iter()
        .filter_map(|step| step.rounding.map(|rounding| format!("{:?} {rounding}", step.step)))
        .collect();
    assert_eq!(
        rounded,
        [
            "Diameter to the nearest 1, a half up",
            "Length down to a multiple of 1",
            "Gross to the nearest 1, a half up"
        ]
    );
    assert_eq!(scaled.volume.unwrap().gross.to_string(), "81");
}

/// The words are put together when they are read, and it makes no difference who reads them first or how.
#[test]
fn a_line_is_the_same_however_it_is_come_by() {
    let log = json!({"small_diameter_in": ["15", "18"], "length_ft": "16",
        "defects": [{"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"}]});
    let scale = || scaled(json!({"rule": "international-quarter-inch", "edition": "print"}), &log).unwrap();
    let (copied, written, compared, read) = (scale(), scale(), scale(), scale());
    assert_eq!(copied.clone(), compared);
    let text = serde_json::to_string(&written).unwrap();
    assert_eq!(serde_json::from_str::<Scaled>(&text).unwrap(), compared);
    for (step, other) in read.working.iter().zip(&compared.working) {
        assert_eq!(step.says.to_string(), other.says.as_str());
        assert_eq!(format!("{:?}", step.says), format!("{:?}", other.says.as_str()));
    }
    let lines: Vec<String> = read.working.into_iter().map(|step| step.says).collect();
    assert!(lines.iter().any(|line| line.ends_with("(edition print: factor 0.905)")), "{lines:?}");
    let differs = Says::from("net: nothing".to_owned());
    assert!(lines.iter().all(|line| Says::from(line.clone()) != differs));
    assert_eq!(format!("{differs:>14}"), "  net: nothing");
}

/// Answers go from thread to thread in a service.
#[test]
fn an_answer_can_be_sent_and_shared() {
    const fn sent_and_shared<Answer: Send + Sync>() {}
    sent_and_shared::<Scaled>();
    let scaled = scaled(json!({"rule": "doyle"}), &json!({"small_diameter_in": ["20"], "length_ft": "16"}));
    let scaled = scaled.unwrap();
    let read = || scaled.working.iter().map(|step| step.says.len()).sum::<usize>();
    let lengths = std::thread::scope(|threads| {
        [threads.spawn(read), threads.spawn(read)].map(|reader| reader.join().unwrap())
    });
    assert_eq!(lengths, [read(); 2]);
}

/// A share too fine to be multiplied with the gross makes no difference to a log that lost nothing: the working says
/// why the figure is missing. Where something was lost, the two have to be held against each other.
#[test]
fn a_sound_log_needs_no_share_of_its_gross() {
    let terms = json!({"rule": "smalian", "cull_share": format!("1/{}", i128::MAX)});
    let mut members = json!({"small_diameter_in": ["12.5"], "large_diameter_in": ["15"], "length_ft": "16"});
    let sound = scaled(terms.clone(), &members).unwrap();
    assert_eq!(sound.cull, None);
    let test = sound.working.iter().find(|step| step.step == StepKind::CullTest).unwrap();
    assert!(test.says.ends_with("the numbers are too large to compute exactly"), "{}", test.says);
    assert!(test.figures.iter().all(|figure| figure.name != "least_net"));
    members["defects"] = json!([{"kind": "break", "method": "length_cut", "length_ft": "2"}]);
    assert_eq!(scaled(terms, &members).map(|_| ()), Err(ScaleProblem::TooLarge));
}
