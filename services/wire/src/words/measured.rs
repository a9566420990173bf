//! What was measured on a stick, in words.

use std::fmt::Display;

use scaling::{Feet, FurtherInches, Inches, LogSizes, Piece, PileSizes, Readings, Section};

/// A stick in one line: what it is, its sizes, its grade and what is wrong with it.
///
/// ```
/// let log = serde_json::from_str(r#"{"product": "log", "species": "fir", "small_diameter_in": ["13", "14"],
///     "length_ft": "16"}"#)?;
/// assert_eq!(wire::words::summary(&log), "fir log, small end 13 and 14 in, 16 ft");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn summary(piece: &Piece) -> String {
    let mut parts = vec![format!("{} {}", piece.species(), piece.product().words())];
    parts.extend(sizes(piece));
    parts.extend(defects(piece));
    parts.extend(refused(piece).map(|why| format!("refused: {why}")));
    parts.extend(piece.grade().map(|grade| format!("grade {grade}")));
    parts.extend(piece.marks().map(|marks| format!("marks {marks}")));
    parts.extend(piece.stick_number().map(|number| format!("stick {number}")));
    parts.extend(piece.hewn_from().map(|number| format!("hewn from {number}")));
    parts.join(", ")
}

/// The sizes of a piece as they were read, in the system in which it was measured.
///
/// ```
/// let tie = serde_json::from_str(r#"{"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7",
///     "length_ft": "8.5"}"#)?;
/// assert_eq!(wire::words::sizes(&tie), ["9 by 7 in", "8.5 ft"]);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn sizes(piece: &Piece) -> Vec<String> {
    let mut parts = Vec::new();
    match piece {
        Piece::Log(log) => parts.extend(log_sizes(&log.sizes)),
        Piece::HewnTimber(timber) => {
            parts.extend(timber.small_end().map(|end| format!("small end {}", section(end))));
            parts.extend(timber.middle().map(|middle| format!("middle {}", section(middle))));
            parts.extend(timber.large_end().map(|end| format!("large end {}", section(end))));
            parts.push(length(timber.length_ft, timber.length_in));
        }
        Piece::Tie(tie) => {
            parts.push(sides(tie.width_in, tie.thickness_in));
            parts.push(length(tie.length_ft, tie.length_in));
        }
        Piece::Pole(pole) => {
            parts.extend(pole.top_diameter_in.map(|top| format!("top {top} in")));
            parts.push(length(pole.length_ft, pole.length_in));
        }
        Piece::RankedPile(pile) => parts.extend(pile_sizes(&pile.sizes)),
    }
    parts
}

/// The kinds of defect of a piece; how much each takes off stands in the working. None for a sound one.
///
/// ```
/// let sound = serde_json::from_str(r#"{"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7",
///     "length_ft": "8.5"}"#)?;
/// assert_eq!(wire::words::defects(&sound), None);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn defects(piece: &Piece) -> Option<String> {
    let defects = match piece {
        Piece::Log(log) => log.defects.as_slice(),
        Piece::HewnTimber(timber) => timber.defects.as_slice(),
        Piece::RankedPile(pile) => pile.defects.as_slice(),
        Piece::Tie(_) | Piece::Pole(_) => &[],
    };
    let kinds: Vec<_> = defects.iter().map(|defect| defect.kind().name().replace('_', " ")).collect();
    if kinds.is_empty() { None } else { Some(kinds.join(" and ")) }
}

/// Why the scaler refused a piece, if he did.
#[must_use]
pub fn refused(piece: &Piece) -> Option<String> {
    match piece {
        Piece::Log(_) => None,
        Piece::HewnTimber(timber) => timber.refused.as_ref().map(ToString::to_string),
        Piece::Tie(tie) => tie.refused.as_ref().map(ToString::to_string),
        Piece::Pole(pole) => pole.refused.as_ref().map(ToString::to_string),
        Piece::RankedPile(pile) => pile.refused.as_ref().map(ToString::to_string),
    }
}

/// The sizes of a log, in the system in which it was measured.
fn log_sizes(sizes: &LogSizes) -> Vec<String> {
    let (named, length) = match sizes {
        LogSizes::InchFoot(log) => (
            [
                ("small end", Some(readings(log.small_diameter_in, "in"))),
                ("middle", log.middle_diameter_in.map(|middle| readings(middle, "in"))),
                ("large end", log.large_diameter_in.map(|large| readings(large, "in"))),
                ("butt by taper", log.butt_diameter_in.map(|butt| readings(butt, "in"))),
            ],
            length(log.length_ft, log.length_in),
        ),
        LogSizes::Metric(log) => (
            [
                ("small end", Some(readings(log.small_diameter_cm, "cm"))),
                ("middle", log.middle_diameter_cm.map(|middle| readings(middle, "cm"))),
                ("large end", log.large_diameter_cm.map(|large| readings(large, "cm"))),
                ("butt by taper", None),
            ],
            format!("{} m", log.length_m),
        ),
    };
    let measured = named.into_iter().filter_map(|(place, size)| size.map(|size| format!("{place} {size}")));
    measured.chain([length]).collect()
}

/// The sizes of a ranked pile: length along it, heights, sticks.
fn pile_sizes(sizes: &PileSizes) -> [String; 3] {
    let (along, heights, sticks) = match sizes {
        PileSizes::InchFoot(pile) => (
            length(pile.length_ft, pile.length_in),
            pile.heights.as_slice().iter().map(|height| length(height.feet, height.inches)).collect(),
            length(pile.stick_length_ft, pile.stick_length_in),
        ),
        PileSizes::Metric(pile) => (
            format!("{} m", pile.length_m),
            pile.heights_m.as_slice().iter().map(|height| format!("{height} m")).collect::<Vec<_>>(),
            format!("{} m", pile.stick_length_m),
        ),
    };
    [format!("{along} along"), format!("{} high", heights.join(" and ")), format!("sticks of {sticks}")]
}

fn readings<Size: Copy + Display>(readings: Readings<Size>, unit: &str) -> String {
    match readings.second() {
        Some(second) => format!("{} and {second} {unit}", readings.first()),
        None => format!("{} {unit}", readings.first()),
    }
}

fn sides(width: Inches, thickness: Inches) -> String {
    format!("{width} by {thickness} in")
}

fn section(section: &Section) -> String {
    let corners = match section.wane().len() {
        0 => String::new(),
        1 => " with wane at 1 corner".to_owned(),
        more => format!(" with wane at {more} corners"),
    };
    format!("{}{corners}", sides(section.width_in(), section.thickness_in()))
}

fn length(feet: Feet, inches: Option<FurtherInches>) -> String {
    match inches {
        Some(inches) => format!("{feet} ft {inches} in"),
        None => format!("{feet} ft"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_product_is_told_in_one_line() {
        let cases = [
            (
                r#"{"product": "log", "species": "red pine", "grade": "No 2", "marks": "HX 7",
                    "small_diameter_in": ["13", "14.5"], "large_diameter_in": ["16"], "length_ft": "16",
                    "length_in": "4.25", "defects": [
                        {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5", "length_ft": "6"},
                        {"kind": "break", "method": "length_cut", "length_ft": "2"}]}"#,
                "red pine log, small end 13 and 14.5 in, large end 16 in, 16 ft 4.25 in, heart rot and break, \
                 grade No 2, marks HX 7",
            ),
            (
                r#"{"product": "log", "species": "fir", "small_diameter_cm": ["36", "38"], "length_m": "4.9"}"#,
                "fir log, small end 36 and 38 cm, 4.9 m",
            ),
            (
                r#"{"product": "hewn_timber", "species": "white oak", "middle": {"width_in": "12",
                    "thickness_in": "10", "wane": [{"width_in": "2", "thickness_in": "1.5"}]}, "length_ft": "24"}"#,
                "white oak hewn timber, middle 12 by 10 in with wane at 1 corner, 24 ft",
            ),
            (
                r#"{"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5",
                    "refused": "knothole"}"#,
                "oak tie, 9 by 7 in, 8.5 ft, refused: knothole",
            ),
            (
                r#"{"product": "pole", "species": "cedar", "top_diameter_in": "7", "length_ft": "35"}"#,
                "cedar pole, top 7 in, 35 ft",
            ),
            (
                r#"{"product": "ranked_pile", "species": "spruce", "length_ft": "16", "length_in": "6", "heights":
                    [{"feet": "4", "inches": "3"}, {"feet": "4"}], "stick_length_ft": "4", "defects": [
                        {"kind": "loosely_ranked", "method": "estimate", "percent": "5", "reason": "gaps"}]}"#,
                "spruce ranked pile, 16 ft 6 in along, 4 ft 3 in and 4 ft high, sticks of 4 ft, loosely ranked",
            ),
            (
                r#"{"product": "ranked_pile", "species": "birch", "length_m": "5", "heights_m": ["1.2"],
                    "stick_length_m": "1", "grade": "A"}"#,
                "birch ranked pile, 5 m along, 1.2 m high, sticks of 1 m, grade A",
            ),
        ];
        for (document, line) in cases {
            assert_eq!(summary(&serde_json::from_str(document).unwrap()), line);
        }
    }
}
