//! Writes a stick as it would be typed.

use scaling::Piece;
use serde_json::Value;

use super::stick::{KEYWORDS, PRODUCTS};

/// A stick as it would be typed where bare numbers are metric or not: what is read from it is the same stick.
///
/// A log or a pile with a defect measured in the other system cannot be typed; it is shown as if it could.
#[must_use]
pub fn written(piece: &Piece, metric: bool) -> String {
    let Ok(document) = serde_json::to_value(piece) else { return String::new() };
    let product = piece.product();
    let word = PRODUCTS.iter().find(|(_, known)| *known == product).map_or("", |(word, _)| word);
    let mut said = vec![word.to_owned(), name(piece.species().as_str())];
    let writer = Writer { document: &document, units: Units::of(&document, piece, metric) };
    match product {
        kernel::Product::Log => writer.log(&mut said),
        kernel::Product::HewnTimber => writer.hewn(&mut said),
        kernel::Product::Tie => writer.tie(&mut said),
        kernel::Product::Pole => writer.pole(&mut said),
        kernel::Product::RankedPile => writer.pile(&mut said),
    }
    for (word, member) in [
        ("grade", "grade"),
        ("marks", "marks"),
        ("no", "stick_number"),
        ("from", "hewn_from"),
        ("refused", "refused"),
    ] {
        said.extend(writer.text(member).map(|value| format!("{word} {}", quoted(value))));
    }
    let mut line = said.join(" ");
    for defect in document.get("defects").and_then(Value::as_array).into_iter().flatten() {
        line.push_str(", ");
        line.push_str(&Writer { document: defect, units: Units::default() }.defect());
    }
    line
}

/// What is written behind numbers across and along.
#[derive(Clone, Copy, Default)]
struct Units {
    across: &'static str,
    along: &'static str,
}

impl Units {
    /// Nothing where bare numbers go by the stick's own system.
    fn of(document: &Value, piece: &Piece, metric: bool) -> Self {
        let takes_both = matches!(piece, Piece::Log(_) | Piece::RankedPile(_));
        let is_metric = document.get("length_m").is_some();
        match (takes_both, is_metric, metric) {
            (true, true, false) => Self { across: "cm", along: "m" },
            (true, false, true) => Self { across: "in", along: "ft" },
            _ => Self::default(),
        }
    }
}

struct Writer<'a> {
    document: &'a Value,
    units: Units,
}

impl Writer<'_> {
    fn text(&self, member: &str) -> Option<&str> {
        self.document.get(member).and_then(Value::as_str)
    }

    /// The member of the one system or of the other.
    fn either(&self, begin: &str, inch: &str, metric: &str) -> Option<&Value> {
        let named = |end: &str| self.document.get(format!("{begin}_{end}"));
        named(inch).or_else(|| named(metric))
    }

    fn readings(&self, place: &str) -> Option<String> {
        let readings = self.either(&format!("{place}_diameter"), "in", "cm")?.as_array()?;
        let readings: Vec<_> = readings.iter().filter_map(Value::as_str).collect();
        Some(format!("{}{}", readings.join("/"), self.units.across))
    }

    fn length(&self, begin: &str) -> String {
        let length = self.either(begin, "ft", "m").and_then(Value::as_str).unwrap_or_default();
        match self.text(&format!("{begin}_in")) {
            Some(inches) => format!("{length}'{inches}"),
            None => format!("{length}{}", self.units.along),
        }
    }

    fn log(&self, said: &mut Vec<String>) {
        said.extend(self.readings("small"));
        said.push(self.length("length"));
        for place in ["middle", "large", "butt"] {
            said.extend(self.readings(place).map(|readings| format!("{place} {readings}")));
        }
    }

    fn hewn(&self, said: &mut Vec<String>) {
        let sections = [("", "small_end"), ("middle ", "middle"), ("large ", "large_end")];
        for (word, member) in sections {
            let Some(section) = self.document.get(member) else { continue };
            said.push(format!("{word}{}", pair(section)));
            for corner in section.get("wane").and_then(Value::as_array).into_iter().flatten() {
                said.push(format!("wane {}", pair(corner)));
            }
        }
        said.push(self.length("length"));
        said.extend(match (self.text("ordered_width_in"), self.text("ordered_thickness_in")) {
            (Some(width), Some(thickness)) => Some(format!("ordered {width}x{thickness}")),
            (Some(width), None) => Some(format!("ordered wide {width}")),
            (None, Some(thickness)) => Some(format!("ordered thick {thickness}")),
            (None, None) => None,
        });
        self.faces(said);
    }

    fn faces(&self, said: &mut Vec<String>) {
        for (word, member) in
            [("score", "score_mark_depth_in"), ("bent", "straightness_in"), ("askew", "out_of_square_in")]
        {
            said.extend(self.text(member).map(|depth| format!("{word} {depth}")));
        }
    }

    fn tie(&self, said: &mut Vec<String>) {
        said.push(pair(self.document));
        said.push(self.length("length"));
        self.faces(said);
        said.extend(self.text("log_diameter_in").map(|round| format!("round {round}")));
    }

    fn pole(&self, said: &mut Vec<String>) {
        said.push(self.length("length"));
        said.extend(self.text("top_diameter_in").map(|top| format!("top {top}")));
    }

    fn pile(&self, said: &mut Vec<String>) {
        said.push(self.length("length"));
        let heights = self.document.get("heights").or_else(|| self.document.get("heights_m"));
        let heights: Vec<_> = heights.and_then(Value::as_array).into_iter().flatten().map(height).collect();
        let unit = if heights.iter().any(|height| height.contains('\'')) { "" } else { self.units.along };
        said.push(format!("high {}{unit}", heights.join("/")));
        said.push(format!("sticks {}", self.length("stick_length")));
    }

    fn across(&self, begin: &str) -> &str {
        self.either(begin, "in", "cm").and_then(Value::as_str).unwrap_or_default()
    }

    fn defect(&self) -> String {
        let mut said = vec![self.text("kind").unwrap_or_default().replace('_', " ")];
        let method = self.text("method").unwrap_or_default();
        let along = self.either("length", "ft", "m").and_then(Value::as_str).unwrap_or_default();
        said.extend(match method {
            "squared" => Some(format!("{}x{}", self.across("width"), self.across("height"))),
            "ellipse" => Some(format!("oval {}x{}", self.across("major"), self.across("minor"))),
            "pie_cut" => self.text("angle_degrees").map(|angle| format!("{angle}deg")),
            "length_cut" => Some(format!("cut {along}")),
            "diameter_cut" => Some(format!("deep {}", self.across("depth"))),
            "sound_core" => Some(format!("core {}", self.across("core"))),
            "sweep" => Some(format!("out {}", self.across("departure"))),
            "crook" => Some(format!("out {}", self.across("deflection"))),
            "estimate" => self.text("percent").map(|percent| format!("{percent}%")),
            _ => None,
        });
        if !along.is_empty() && method != "length_cut" {
            said.push(format!("for {along}"));
        }
        let from = self.either("from_small_end", "ft", "m").and_then(Value::as_str);
        said.extend(from.map(|from| format!("from {from}")));
        for (word, member) in [("because", "reason"), ("note", "note")] {
            said.extend(self.text(member).map(|text| format!("{word} {}", quoted(text))));
        }
        said.join(" ")
    }
}

fn pair(sizes: &Value) -> String {
    let side = |member: &str| sizes.get(member).and_then(Value::as_str).unwrap_or_default();
    format!("{}x{}", side("width_in"), side("thickness_in"))
}

fn height(height: &Value) -> String {
    let part = |member: &str| height.get(member).and_then(Value::as_str);
    match (height.as_str(), part("feet"), part("inches")) {
        (Some(metres), ..) => metres.to_owned(),
        (None, Some(feet), Some(inches)) => format!("{feet}'{inches}"),
        (None, feet, _) => feet.unwrap_or_default().to_owned(),
    }
}

/// A species as it is typed: in quotation marks only where it would be taken for something else.
fn name(species: &str) -> String {
    let is_plain = |word: &str| {
        let lower = word.to_lowercase();
        let letters = |letter: char| letter.is_alphabetic() || letter == '-';
        !word.is_empty()
            && word.starts_with(char::is_alphabetic)
            && word.chars().all(letters)
            && !KEYWORDS.contains(&lower.as_str())
            && lower != "by"
            && !PRODUCTS.iter().any(|(product, _)| *product == lower)
    };
    let plain = species.chars().nth(1).is_some() && species.split(' ').all(is_plain);
    if plain { species.to_owned() } else { in_marks(species) }
}

fn quoted(text: &str) -> String {
    let plain = !text.is_empty() && text.chars().all(|letter| letter.is_ascii_alphanumeric());
    if plain { text.to_owned() } else { in_marks(text) }
}

fn in_marks(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}
