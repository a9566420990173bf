//! Sticks that cannot be: sizes that no tape shows, members that nobody knows, defects of no method.

use serde_json::{Value, json};
use tests::log;

use super::{Wrong, Yard, misformed};

/// Not numbers in the one grammar that is taken.
const NO_NUMBERS: [&str; 22] = [
    "", " ", "sixteen", "16 ", " 16", "016", "+16", "16.", ".5", "1e1", "1_6", "1,6", "16ft", "1/2", "0x10",
    "NaN", "inf", "-", "--1", "١٦", "１６", "16\u{0}",
];

/// A ticket's piece is one of several kinds; what is wrong with it is told with the member's name, and the place is
/// the piece.
fn in_piece(at: &'static str, value: impl Into<Value>, says: &'static str) -> Wrong {
    misformed(at, value, "#/pieces/0", says)
}

#[test]
fn lengths_and_diameters() {
    let yard = Yard::new();
    let mut table = vec![
        in_piece("/pieces/0/length_ft", json!(16), "length_ft"),
        in_piece("/pieces/0/length_ft", json!(16.5), "length_ft"),
        in_piece("/pieces/0/length_ft", json!(null), "length_ft"),
        in_piece("/pieces/0/length_ft", json!(["16"]), "length_ft"),
        in_piece("/pieces/0/length_ft", "0", "more than 0"),
        in_piece("/pieces/0/length_ft", "-16", "more than 0"),
        in_piece("/pieces/0/length_ft", "200.0001", "at most 200 feet"),
        in_piece("/pieces/0/length_ft", "99999999999999999999999999", "too large"),
        in_piece("/pieces/0/length_ft", "16.00001", "at most 4 digits"),
        in_piece("/pieces/0/length_ft", "16.0000001", "digits after the point"),
        in_piece("/pieces/0/length_in", "12", "less than 12 inches"),
        in_piece("/pieces/0/length_in", "-1", "length_in"),
        in_piece("/pieces/0/small_diameter_in", json!([]), "small_diameter_in"),
        in_piece("/pieces/0/small_diameter_in", json!(["9", "9", "9"]), "small_diameter_in"),
        in_piece("/pieces/0/small_diameter_in", "9", "small_diameter_in"),
        in_piece("/pieces/0/small_diameter_in", json!([9]), "small_diameter_in"),
        in_piece("/pieces/0/small_diameter_in", json!(["0"]), "more than 0"),
        in_piece("/pieces/0/small_diameter_in", json!(["-9"]), "more than 0"),
        in_piece("/pieces/0/small_diameter_in", json!(["240.5"]), "at most 240 inches"),
        in_piece("/pieces/0/large_diameter_in", json!(["9", "zero"]), "large_diameter_in"),
    ];
    table.extend(NO_NUMBERS.map(|text| in_piece("/pieces/0/length_ft", text, "length_ft")));
    yard.refuses_each("/v1/tickets", || yard.world.ticket(), table);
}

#[test]
fn kinds_and_texts() {
    let yard = Yard::new();
    let table = vec![
        misformed("/pieces/0/product", "plank", "#/pieces/0/product", "plank"),
        misformed("/pieces/0/product", json!(1), "#/pieces/0/product", "choices"),
        in_piece("/pieces/0/product", "pole", "small_diameter_in"),
        in_piece("/pieces/0/wingspan_in", "70", "wingspan_in"),
        in_piece("/pieces/0/volume", "80", "volume"),
        in_piece("/pieces/0/length_m", "4.9", "length_m"),
        in_piece("/pieces/0/species", "", "species"),
        in_piece("/pieces/0/species", "   ", "species"),
        in_piece("/pieces/0/species", "white\npine", "species"),
        in_piece("/pieces/0/species", "pine\u{0}", "species"),
        in_piece("/pieces/0/species", "x".repeat(1_000), "species"),
        in_piece("/pieces/0/species", json!(["pine"]), "species"),
        in_piece("/pieces/0/grade", "", "grade"),
        in_piece("/pieces/0/grade", "a\u{0}b", "grade"),
        in_piece("/pieces/0/marks", "\u{1b}[31m", "marks"),
        in_piece("/pieces/0/marks", "x".repeat(1_000), "marks"),
        in_piece("/pieces/0", json!("log"), ""),
        in_piece("/pieces/0", json!(null), ""),
        in_piece("/pieces/0", json!({}), "product"),
        in_piece("/pieces/0", json!({"product": "log"}), ""),
        misformed("/pieces/1", json!({"product": "tie", "species": "oak"}), "#/pieces/1", "width_in"),
    ];
    yard.refuses_each("/v1/tickets", || yard.world.ticket(), table);
}

#[test]
fn defects() {
    let yard = Yard::new();
    let good = || {
        let mut ticket = yard.world.ticket();
        let mut rotten = log("16", "16");
        rotten["defects"] = json!([{"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "6",
                                    "length_ft": "8"}]);
        ticket["pieces"][0] = rotten;
        ticket
    };
    let defect = json!({"kind": "check", "method": "length_cut", "length_ft": "2"});
    let table = vec![
        in_piece("/pieces/0/defects/0/method", "guess", "guess"),
        in_piece("/pieces/0/defects/0/method", "sweep", "defects"),
        in_piece("/pieces/0/defects/0/kind", "gloom", "gloom"),
        in_piece("/pieces/0/defects/0/width_in", json!(6), "width_in"),
        in_piece("/pieces/0/defects/0/width_in", "0", "more than 0"),
        in_piece("/pieces/0/defects/0/width_in", "-6", "more than 0"),
        in_piece("/pieces/0/defects/0/length_ft", "201", "at most 200"),
        in_piece("/pieces/0/defects/0/depth_in", "1", "depth_in"),
        in_piece("/pieces/0/defects/0/loss", "20", "loss"),
        in_piece("/pieces/0/defects/0/note", "", "note"),
        in_piece("/pieces/0/defects/0/note", "x\u{0}", "note"),
        in_piece("/pieces/0/defects", json!({}), "defects"),
        in_piece("/pieces/0/defects", json!(vec![defect; 21]), "at most 20"),
        in_piece("/pieces/0/defects", json!([null]), "defects"),
    ];
    yard.refuses_each("/v1/tickets", good, table);
}

#[test]
fn hewn_timber() {
    let yard = Yard::new();
    let good = || {
        let mut ticket = yard.world.ticket();
        ticket["pieces"][0] = json!({"product": "hewn_timber", "species": "pine", "length_ft": "24",
            "small_end": {"width_in": "10", "thickness_in": "10", "wane": [{"width_in": "2", "thickness_in": "2"}]}});
        ticket
    };
    let corner = json!({"width_in": "2", "thickness_in": "2"});
    let table = vec![
        in_piece("/pieces/0/small_end", json!(null), "no section"),
        in_piece("/pieces/0/small_end/width_in", json!(10), "small_end"),
        in_piece("/pieces/0/small_end/width_in", "0", "small_end"),
        in_piece("/pieces/0/small_end/colour", "red", "colour"),
        in_piece("/pieces/0/small_end/wane", json!(vec![corner; 5]), "four"),
        in_piece("/pieces/0/small_end/wane/0/width_in", "11", "does not fit"),
        in_piece("/pieces/0/small_end/wane/0/depth", "1", "depth"),
        in_piece("/pieces/0/middle", json!({"width_in": "10"}), "middle"),
    ];
    yard.refuses_each("/v1/tickets", good, table);
}

/// A member that stands twice could be read either way, so it is not read at all.
#[test]
fn members_that_stand_twice() {
    let yard = Yard::new();
    let ticket = yard.world.ticket();
    let text = ticket.to_string();
    let twice = [
        text.replacen("\"length_ft\":\"16\"", "\"length_ft\":\"16\",\"length_ft\":\"12\"", 1),
        text.replacen("\"product\":\"log\"", "\"product\":\"log\",\"product\":\"pole\"", 1),
        text.replacen("\"number\":", "\"number\":7,\"number\":", 1),
        text.replacen("\"moved_by\":", "\"moved_by\":\"sled\",\"moved_by\":", 1),
        text.replacen("\"task\":", "\"task\":\"hewing\",\"task\":", 1),
    ];
    for body in twice {
        assert_ne!(body, text);
        let problem = yard.refused(wire::Code::WrongForm, || {
            yard.manager().send(reqwest::Method::POST, "/v1/tickets", Some(body.clone()))
        });
        assert!(problem["detail"].as_str().is_some_and(|detail| detail.contains("duplicate")), "{problem:#}");
    }
}
