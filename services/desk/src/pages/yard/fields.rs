//! The fields with which a stick is entered, and where each goes in the stick's document. The page's script reads the
//! same list, so that with script and without the same document is made.

use serde::Serialize;
use serde_json::{Map, Value, json};

use super::values::Values;

/// How the text of a field is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// As it is.
    Text,
    /// A decimal number, kept as text; a comma before the decimals is read as a point.
    Number,
    /// Corners: `2x1.5, 2x2`.
    Wanes,
    /// Heights: feet and inches `4 3, 4`, or metres `1.2, 1.25`.
    Heights,
}

/// A field of a stick or of a defect.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Field {
    /// Its name on the form.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// Where it goes. `{d}` stands for the unit across the wood, `{l}` for that along it, `{h}` for nothing or metres; a
    /// number at the end is a place in a list.
    pub path: &'static str,
    /// How it is read.
    pub kind: Kind,
    /// The products, or methods of deduction, that have it; all of them where none is named.
    pub of: &'static [&'static str],
}

const fn field(
    name: &'static str,
    label: &'static str,
    path: &'static str,
    kind: Kind,
    of: &'static [&'static str],
) -> Field {
    Field { name, label, path, kind, of }
}

/// The products by their names in documents, and in words.
pub const PRODUCTS: [(&str, &str); 5] = [
    ("log", "log"),
    ("hewn_timber", "hewn timber"),
    ("tie", "tie"),
    ("pole", "pole or pile"),
    ("ranked_pile", "ranked pile"),
];

const LOG: &[&str] = &["log"];
const HEWN: &[&str] = &["hewn_timber"];
const TIE: &[&str] = &["tie"];
const SQUARED: &[&str] = &["hewn_timber", "tie"];
const POLE: &[&str] = &["pole"];
const PILE: &[&str] = &["ranked_pile"];
const INSPECTED: &[&str] = &["hewn_timber", "tie", "pole", "ranked_pile"];

use Kind::{Heights, Number, Text, Wanes};

/// The fields of a stick beside its product and its defects.
pub static STICK: &[Field] = &[
    field("species", "Species", "species", Text, &[]),
    field("small_1", "Small end", "small_diameter_{d}.0", Number, LOG),
    field("small_2", "Small end, across", "small_diameter_{d}.1", Number, LOG),
    field("length", "Length", "length_{l}", Number, &[]),
    field("length_in", "Inches over", "length_in", Number, &[]),
    field("middle_1", "Middle", "middle_diameter_{d}.0", Number, LOG),
    field("middle_2", "Middle, across", "middle_diameter_{d}.1", Number, LOG),
    field("large_1", "Large end", "large_diameter_{d}.0", Number, LOG),
    field("large_2", "Large end, across", "large_diameter_{d}.1", Number, LOG),
    field("butt_1", "Butt by taper", "butt_diameter_in.0", Number, LOG),
    field("butt_2", "Butt by taper, across", "butt_diameter_in.1", Number, LOG),
    field("small_end_width", "Small end, width", "small_end.width_in", Number, HEWN),
    field("small_end_thickness", "Small end, thickness", "small_end.thickness_in", Number, HEWN),
    field("small_end_wane", "Small end, wane", "small_end.wane", Wanes, HEWN),
    field("mid_width", "Middle, width", "middle.width_in", Number, HEWN),
    field("mid_thickness", "Middle, thickness", "middle.thickness_in", Number, HEWN),
    field("mid_wane", "Middle, wane", "middle.wane", Wanes, HEWN),
    field("large_end_width", "Large end, width", "large_end.width_in", Number, HEWN),
    field("large_end_thickness", "Large end, thickness", "large_end.thickness_in", Number, HEWN),
    field("large_end_wane", "Large end, wane", "large_end.wane", Wanes, HEWN),
    field("ordered_width", "Ordered width", "ordered_width_in", Number, HEWN),
    field("ordered_thickness", "Ordered thickness", "ordered_thickness_in", Number, HEWN),
    field("width", "Width of the narrowest face", "width_in", Number, TIE),
    field("thickness", "Thickness", "thickness_in", Number, TIE),
    field("log_diameter", "Small end of its log", "log_diameter_in", Number, TIE),
    field("score_mark_depth", "Deepest score mark", "score_mark_depth_in", Number, SQUARED),
    field("straightness", "Bow", "straightness_in", Number, SQUARED),
    field("out_of_square", "Out of square", "out_of_square_in", Number, SQUARED),
    field("top_diameter", "Top", "top_diameter_in", Number, POLE),
    field("heights", "Heights", "heights{h}", Heights, PILE),
    field("stick_length", "Length of the sticks", "stick_length_{l}", Number, PILE),
    field("stick_length_in", "Inches over", "stick_length_in", Number, PILE),
    field("grade", "Grade", "grade", Text, &[]),
    field("marks", "Marks", "marks", Text, &[]),
    field("stick_number", "Stick number", "stick_number", Text, &[]),
    field("hewn_from", "Hewn from stick number", "hewn_from", Text, SQUARED),
    field("refused", "Refused by the inspector because", "refused", Text, INSPECTED),
];

/// The methods of deduction.
pub const METHODS: [(&str, &str); 10] = [
    ("squared", "squared out"),
    ("pie_cut", "pie cut"),
    ("length_cut", "length cut"),
    ("diameter_cut", "diameter cut"),
    ("sweep", "sweep"),
    ("crook", "crook"),
    ("ellipse", "ellipse"),
    ("sound_core", "sound core"),
    ("estimate", "estimate"),
    ("noted", "only noted"),
];

/// The kinds of defect, the common ones first.
pub const DEFECT_KINDS: [&str; 20] = [
    "heart_rot",
    "butt_rot",
    "sweep",
    "crook",
    "catface",
    "ring_shake",
    "check",
    "break",
    "sap_rot",
    "seam",
    "crotch",
    "worm_holes",
    "frost_crack",
    "scar",
    "pitch_ring",
    "knot_cluster",
    "sound_knot",
    "spiral_grain",
    "loosely_ranked",
    "other",
];

const ALONG: &[&str] = &["squared", "pie_cut", "length_cut", "crook", "ellipse", "sound_core"];

/// The fields of a defect beside its kind and method.
pub static DEFECT: &[Field] = &[
    field("width", "Width", "width_{d}", Number, &["squared"]),
    field("height", "Height", "height_{d}", Number, &["squared"]),
    field("angle", "Angle, degrees", "angle_degrees", Number, &["pie_cut"]),
    field("depth", "Depth on each side", "depth_{d}", Number, &["diameter_cut"]),
    field("departure", "Largest gap", "departure_{d}", Number, &["sweep"]),
    field("deflection", "Out of line", "deflection_{d}", Number, &["crook"]),
    field("major", "Longer way across", "major_{d}", Number, &["ellipse"]),
    field("minor", "Shorter way across", "minor_{d}", Number, &["ellipse"]),
    field("core", "Sound core", "core_{d}", Number, &["sound_core"]),
    field("length", "Length", "length_{l}", Number, ALONG),
    field("from", "Begins from the small end", "from_small_end_{l}", Number, ALONG),
    field("percent", "Percent lost", "percent", Number, &["estimate"]),
    field("reason", "What it rests on", "reason", Text, &["estimate"]),
    field("note", "Note", "note", Text, &[]),
];

/// What stays in the form when a stick was added: the next one is mostly like it.
pub const STAYS: [&str; 5] = ["product", "species", "length", "length_in", "system"];

impl Field {
    /// Whether a product or method has it.
    #[must_use]
    pub fn is_of(&self, one: &str) -> bool {
        self.of.is_empty() || self.of.contains(&one)
    }

    fn parts(&self, metric: bool) -> Vec<String> {
        let (across, along, height) = if metric { ("cm", "m", "_m") } else { ("in", "ft", "") };
        let path = self.path.replace("{d}", across).replace("{l}", along).replace("{h}", height);
        path.split('.').map(str::to_owned).collect()
    }

    fn put(&self, into: &mut Map<String, Value>, text: &str, metric: bool) {
        let parts = self.parts(metric);
        let value = read(self.kind, text, metric);
        match parts.as_slice() {
            [member] => drop(into.insert(member.clone(), value)),
            [member, last] if matches!(last.as_str(), "0" | "1") => {
                if let Value::Array(list) = into.entry(member.clone()).or_insert_with(|| json!([])) {
                    list.push(value);
                }
            }
            [member, last] => {
                if let Value::Object(inner) = into.entry(member.clone()).or_insert_with(|| json!({})) {
                    drop(inner.insert(last.clone(), value));
                }
            }
            _ => {}
        }
    }

    fn take(&self, from: &Value, metric: bool) -> Option<String> {
        let found = self.parts(metric).iter().try_fold(from, |value, part| match value {
            Value::Array(list) => list.get(part.parse::<usize>().ok()?),
            other => other.get(part),
        })?;
        Some(write(self.kind, found))
    }
}

/// The texts of a list, divided at commas and semicolons.
fn listed(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';']).map(str::trim).filter(|one| !one.is_empty())
}

fn read(kind: Kind, text: &str, metric: bool) -> Value {
    match kind {
        Kind::Text => json!(text),
        Kind::Number => json!(text.replace(',', ".")),
        Kind::Wanes => listed(text)
            .map(|corner| match corner.split_once(['x', 'X', '×']) {
                Some((width, thickness)) => {
                    json!({"width_in": width.trim(), "thickness_in": thickness.trim()})
                }
                None => json!({"width_in": corner}),
            })
            .collect(),
        Kind::Heights if metric => listed(text).map(|one| json!(one)).collect(),
        Kind::Heights => listed(text)
            .map(|height| match height.split_once(' ') {
                Some((feet, inches)) => json!({"feet": feet, "inches": inches.trim()}),
                None => json!({"feet": height}),
            })
            .collect(),
    }
}

fn write(kind: Kind, value: &Value) -> String {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let all = |one: &dyn Fn(&Value) -> String| {
        let all: Vec<_> = value.as_array().into_iter().flatten().map(one).collect();
        all.join(", ")
    };
    match kind {
        Kind::Text | Kind::Number => text(value),
        Kind::Wanes => all(&|one| format!("{}x{}", text(&one["width_in"]), text(&one["thickness_in"]))),
        Kind::Heights => all(&|one| match (one.get("feet"), one.get("inches")) {
            (Some(feet), Some(inches)) => format!("{} {}", text(feet), text(inches)),
            (Some(feet), None) => text(feet),
            _ => text(one),
        }),
    }
}

/// How many defects the form has room for.
#[must_use]
pub fn defect_rows(values: &Values) -> usize {
    values.get("defect_rows").parse().unwrap_or(1).clamp(1, scaling::Defects::MOST)
}

/// The document of the stick that is filled in. What is filled in and does not belong to such a piece is in it too, so
/// that it is refused by name rather than forgotten.
#[must_use]
pub fn document(values: &Values) -> Value {
    let product = values.get("product");
    let metric = values.get("system") == "metric" && matches!(product, "log" | "ranked_pile");
    let mut piece = Map::from_iter([("product".to_owned(), json!(product))]);
    for field in STICK {
        let text = values.get(field.name);
        if !text.is_empty() {
            field.put(&mut piece, text, metric);
        }
    }
    let defects: Vec<_> = (1..=defect_rows(values)).filter_map(|row| defect(values, row, metric)).collect();
    if !defects.is_empty() {
        drop(piece.insert("defects".to_owned(), Value::Array(defects)));
    }
    Value::Object(piece)
}

fn defect(values: &Values, row: usize, metric: bool) -> Option<Value> {
    let said = |name: &str| values.get(&format!("d{row}_{name}"));
    let mut defect = Map::new();
    for member in ["kind", "method"] {
        if !said(member).is_empty() {
            drop(defect.insert(member.to_owned(), json!(said(member))));
        }
    }
    for field in DEFECT.iter().filter(|field| !said(field.name).is_empty()) {
        field.put(&mut defect, said(field.name), metric);
    }
    (!defect.is_empty()).then_some(Value::Object(defect))
}

/// Fills the form in with a stick, so that it can be corrected.
pub fn fill(values: &mut Values, piece: &Value) {
    clear(values);
    let measured = |name: &str| piece.get(name).is_some();
    let metric = measured("length_m") || measured("small_diameter_cm");
    values.set("system", if metric { "metric" } else { "inch_foot" });
    values.set("product", piece["product"].as_str().unwrap_or("log"));
    for field in STICK {
        values.set(field.name, &field.take(piece, metric).unwrap_or_default());
    }
    let defects = piece["defects"].as_array().map_or(&[][..], Vec::as_slice);
    values.set("defect_rows", &defects.len().max(1).to_string());
    for (row, defect) in (1..).zip(defects) {
        for member in ["kind", "method"] {
            values.set(&format!("d{row}_{member}"), defect[member].as_str().unwrap_or_default());
        }
        for field in DEFECT {
            let text = field.take(defect, metric).unwrap_or_default();
            values.set(&format!("d{row}_{}", field.name), &text);
        }
    }
}

/// Empties the fields of the stick, but for what mostly stays the same.
pub fn clear(values: &mut Values) {
    for field in STICK.iter().filter(|field| !STAYS.contains(&field.name)) {
        values.set(field.name, "");
    }
    values.remove_beginning("d1_");
    for row in 1..=scaling::Defects::MOST {
        values.remove_beginning(&format!("d{row}_"));
    }
    values.set("defect_rows", "1");
}

/// Whether something of a stick is filled in that was not added yet.
#[must_use]
pub fn begun(values: &Values) -> bool {
    let stick = STICK.iter().any(|field| !STAYS.contains(&field.name) && !values.get(field.name).is_empty());
    stick || (1..=defect_rows(values)).any(|row| defect(values, row, false).is_some())
}

/// The field whose value a refusal is about: the refusals of documents begin with the member's name.
#[must_use]
pub fn blamed(says: &str) -> Option<&'static str> {
    let member = says.split([':', ' ']).next().unwrap_or_default();
    let named = |field: &&Field| {
        [false, true].iter().any(|metric| field.parts(*metric).first().is_some_and(|first| first == member))
    };
    let missing = says.strip_prefix("missing field `").and_then(|rest| rest.split('`').next());
    let by_missing = |field: &&Field| {
        missing.is_some_and(|name| field.parts(false).first().is_some_and(|first| first == name))
    };
    STICK.iter().find(named).or_else(|| STICK.iter().find(by_missing)).map(|field| field.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stick_goes_into_the_form_and_out_again_as_it_was() {
        for document_sent in [
            json!({"product": "log", "species": "red pine", "grade": "No 2", "marks": "HX", "stick_number": "17",
                "small_diameter_in": ["13", "14.5"], "middle_diameter_in": ["15"], "large_diameter_in": ["16", "17"],
                "butt_diameter_in": ["18"], "length_ft": "16", "length_in": "4", "defects": [
                    {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5", "length_ft": "6",
                     "from_small_end_ft": "2", "note": "wet"},
                    {"kind": "other", "method": "estimate", "percent": "5", "reason": "seen"}]}),
            json!({"product": "log", "species": "fir", "small_diameter_cm": ["36", "38"], "length_m": "4.9",
                "defects": [{"kind": "sweep", "method": "sweep", "departure_cm": "7"}]}),
            json!({"product": "hewn_timber", "species": "oak", "small_end": {"width_in": "12", "thickness_in": "10",
                "wane": [{"width_in": "2", "thickness_in": "1.5"}, {"width_in": "2", "thickness_in": "2"}]},
                "large_end": {"width_in": "12", "thickness_in": "10"}, "length_ft": "24", "hewn_from": "17",
                "ordered_width_in": "12", "score_mark_depth_in": "0.25", "refused": "wane"}),
            json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5",
                "log_diameter_in": "12"}),
            json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"}),
            json!({"product": "ranked_pile", "species": "spruce", "length_ft": "16", "length_in": "6",
                "heights": [{"feet": "4", "inches": "3"}, {"feet": "4"}], "stick_length_ft": "4",
                "stick_length_in": "2"}),
            json!({"product": "ranked_pile", "species": "birch", "length_m": "5", "heights_m": ["1.2", "1.25"],
                "stick_length_m": "1"}),
        ] {
            let mut values = Values::default();
            fill(&mut values, &document_sent);
            assert_eq!(document(&values), document_sent);
            let piece: scaling::Piece = serde_json::from_value(document_sent.clone()).unwrap();
            assert_eq!(serde_json::to_value(piece).unwrap(), document_sent);
            assert!(begun(&values));
            clear(&mut values);
            assert!(!begun(&values));
        }
    }

    #[test]
    fn every_kind_and_method_is_one_of_the_engine() {
        for kind in DEFECT_KINDS {
            let known: scaling::DefectKind = serde_json::from_value(json!(kind)).unwrap();
            assert_eq!(known.name(), kind);
        }
        for (method, _) in METHODS {
            let defect = json!({"kind": "other", "method": method, "width_in": "1"});
            let error =
                serde_json::from_value::<scaling::Defect>(defect).err().map(|error| error.to_string());
            assert!(error.is_none_or(|error| !error.contains("unknown variant")), "{method}");
        }
    }

    #[test]
    fn a_refusal_leads_to_its_field() {
        assert_eq!(blamed("small_diameter_in: 0 is not a size"), Some("small_1"));
        assert_eq!(blamed("missing field `length_ft`"), Some("length"));
        assert_eq!(blamed("missing field `species`"), Some("species"));
        assert_eq!(blamed("nobody knows"), None);
    }
}
