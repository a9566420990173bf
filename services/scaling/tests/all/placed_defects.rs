//! Several defects in one log without taking wood twice, the least board, and the kerf.

use kernel::Exact;
use serde_json::{Value, json};

use crate::common::scaled;

/// A 16-foot Doyle log of 20 inches scales 256; the losses are seen without rounding.
fn loss_under(terms: Value, defects: Value) -> Result<Exact, &'static str> {
    let mut all = json!({"rule": "doyle", "deduction_rounding": "none", "cull_share": "0"});
    for (name, value) in terms.as_object().unwrap() {
        all[name] = value.clone();
    }
    let log = json!({"small_diameter_in": ["20"], "length_ft": "16", "length_in": "4", "defects": defects});
    let volume = scaled(all, &log).map_err(|problem| problem.code())?.volume.unwrap();
    Ok(volume.gross.minus(volume.net).unwrap())
}

fn loss(defects: Value) -> Result<Exact, &'static str> {
    loss_under(json!({}), defects)
}

fn square(width: &str, height: &str, from: &str, length: &str) -> Value {
    json!({"kind": "heart_rot", "method": "squared", "width_in": width, "height_in": height,
        "from_small_end_ft": from, "length_ft": length})
}

fn cut(from: &str, length: &str) -> Value {
    json!({"kind": "break", "method": "length_cut", "from_small_end_ft": from, "length_ft": length})
}

/// 6 by 5 over 10 feet is 20, 3 by 10 over 10 feet is 20; over the 4 feet that both have, 3 by 5 is counted twice: 4.
#[test]
fn squares_of_known_place_are_taken_as_their_union_about_the_heart() {
    assert_eq!(loss(json!([square("6", "5", "0", "10"), square("3", "10", "6", "10")])), Ok(Exact::of(36)));
    // One inside the other is only the larger.
    assert_eq!(loss(json!([square("6", "5", "0", "10"), square("3", "5", "2", "6")])), Ok(Exact::of(20)));
    // Apart they add up, and so do squares whose places nobody measured.
    assert_eq!(loss(json!([square("6", "5", "0", "5"), square("6", "5", "5", "5")])), Ok(Exact::of(20)));
    let mut somewhere = square("6", "5", "0", "10");
    somewhere.as_object_mut().unwrap().remove("from_small_end_ft");
    assert_eq!(loss(json!([somewhere, somewhere])), Ok(Exact::of(40)));
}

/// Three squares like steps: 8 by 2, 4 by 4 and 2 by 8 about one centre cover 16 + 8 + 8 = 32 square inches, and not the
/// 48 of their sum.
#[test]
fn more_than_two_squares_lie_in_one_another_like_steps() {
    let steps =
        json!([square("8", "2", "0", "15"), square("4", "4", "0", "15"), square("2", "8", "0", "15")]);
    assert_eq!(loss(steps), Ok(Exact::of(32)));
}

#[test]
fn cuts_of_known_place_overlap_and_take_what_lies_in_them() {
    assert_eq!(loss(json!([cut("0", "4"), cut("2", "4")])), Ok(Exact::of(96))); // 6 of 16 feet
    assert_eq!(loss(json!([cut("0", "4"), cut("12", "4")])), Ok(Exact::of(128)));
    // Rot of 10 feet, of which 4 go with the cut: 64 and 6 × 5 × 6 / 15.
    assert_eq!(loss(json!([cut("0", "4"), square("6", "5", "0", "10")])), Ok(Exact::of(64 + 12)));
    assert_eq!(loss(json!([cut("8", "8"), square("6", "5", "8", "8")])), Ok(Exact::of(128)));
    // Two rots that overlap only in what is cut off anyway.
    let both = json!([cut("6", "4"), square("6", "5", "0", "10"), square("3", "10", "6", "10")]);
    assert_eq!(loss(both), Ok(Exact::of(64 + 12 + 12)));
}

#[test]
fn what_ends_beyond_the_log_does_not_fit() {
    assert_eq!(loss(json!([cut("12.5", "4")])), Err("defect-does-not-fit"));
    assert_eq!(loss(json!([cut("12.25", "4")])), Ok(Exact::of(60))); // 3 3/4 feet of it are scaled
}

#[test]
fn length_cuts_go_up_to_the_contracts_even_feet() {
    let terms = || json!({"length_cut_multiple_ft": "2"});
    let somewhere = |length: &str| json!([{"kind": "break", "method": "length_cut", "length_ft": length}]);
    assert_eq!(loss_under(terms(), somewhere("2.5")), Ok(Exact::of(64)));
    assert_eq!(loss_under(terms(), somewhere("4")), Ok(Exact::of(64)));
    assert_eq!(loss_under(json!({}), somewhere("2.5")), Ok(Exact::of(40)));
    assert_eq!(loss_under(terms(), json!([cut("0", "2.5")])), Ok(Exact::of(64)));
    assert_eq!(loss_under(terms(), json!([cut("13", "2.5")])), Ok(Exact::of(64)));
}

/// Forest Service FSH 2409.11 ch. 20 (1985): a remaining board must be 6 feet long and 4 inches wide.
#[test]
fn remnants_that_make_no_board_are_lost_too() {
    let least = || json!({"least_board": {"length_ft": "6", "width_in": "4"}});
    let rot = |from: &str, length: &str| json!([square("6", "5", from, length)]);
    // 11 feet of rot leave 5 feet of board, which is nothing; 10 leave 6, which stays.
    assert_eq!(loss_under(least(), rot("0", "11")), Ok(Exact::of(32)));
    assert_eq!(loss_under(least(), rot("0", "10")), Ok(Exact::of(20)));
    assert_eq!(loss_under(least(), rot("5", "4")), Ok(Exact::of(18))); // 5 feet above it go, 7 below stay
    assert_eq!(loss_under(json!({}), rot("0", "11")), Ok(Exact::of(22)));
    // A length cut that leaves under 6 feet takes the log.
    let most = |length: &str| json!([{"kind": "break", "method": "length_cut", "length_ft": length}]);
    assert_eq!(loss_under(least(), most("11")), Ok(Exact::of(256)));
    assert_eq!(loss_under(least(), most("10")), Ok(Exact::of(160)));
    // A core of 3 inches makes no board; one of 4 does.
    let core = |inches: &str| json!([{"kind": "ring_shake", "method": "sound_core", "core_in": inches, "length_ft": "8"}]);
    assert_eq!(loss_under(least(), core("3")), Ok(Exact::of(128)));
    assert!(loss_under(least(), core("4")).unwrap() < Exact::of(128));
    assert!(loss_under(json!({}), core("3")).unwrap() < Exact::of(128));
}

/// 12 × (1 + kerf): 15 for a quarter of an inch, 13.5 for an eighth, 15.75 for five sixteenths.
#[test]
fn the_kerf_decides_the_divisor() {
    let rot = || json!([square("9", "7", "0", "15")]); // 945
    let by = |kerf: &str| loss_under(json!({ "kerf_in": kerf }), rot()).unwrap();
    assert_eq!(by("0.25"), Exact::of(63));
    assert_eq!(by("0.125"), Exact::of(70));
    assert_eq!(by("0.3125"), Exact::of(60));
    assert_eq!(loss(rot()), Ok(Exact::of(63)));
    let eighth = json!({"rule": "international-eighth-inch"});
    assert_eq!(loss_under(eighth, rot()), Ok(Exact::of(70))); // the rule's own kerf
}

/// By the proportional rules on boards, and by plain geometry on solid content.
#[test]
fn ellipse_and_core_by_hand() {
    let ellipse = json!([{"kind": "heart_rot", "method": "ellipse", "major_in": "7", "minor_in": "5",
        "length_ft": "8"}]);
    assert_eq!(loss(ellipse.clone()), Ok(Exact::fraction(256 * 48, 361 * 2))); // 8 × 6 / 19², half the log
    let core = json!([{"kind": "ring_shake", "method": "sound_core", "core_in": "10.5", "length_ft": "16"}]);
    assert_eq!(loss(core), Ok(Exact::of(192))); // 9.5 of 19 is a half, its square a quarter
    let whole = json!([{"kind": "ring_shake", "method": "sound_core", "core_in": "20", "length_ft": "16"}]);
    assert_eq!(loss(whole), Ok(Exact::ZERO));
    let solid = json!({"rule": "inscribed-square"});
    // 20² × 16 / 288 cubic feet; 35 of 400 over half of it.
    let cubic = Exact::fraction(200, 9).times(Exact::fraction(35, 800)).unwrap();
    assert_eq!(loss_under(solid, ellipse), Ok(cubic));
    let filling = json!([{"kind": "heart_rot", "method": "ellipse", "major_in": "30", "minor_in": "30",
        "length_ft": "16"}]);
    assert_eq!(loss(filling), Ok(Exact::of(256)));
}
