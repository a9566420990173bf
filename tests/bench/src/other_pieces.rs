//! Made-up pieces that take more than one table cell or formula: long logs in segments, hewn timbers, ties, poles.

use scaling::{Piece, Practice};
use serde_json::{Value, json};

use crate::chance::{Chance, halves};
use crate::logs::COUNT;

/// Pieces of one kind and the practice they are scaled by.
pub struct Bundle {
    /// What they are.
    pub what: &'static str,
    /// How they are scaled.
    pub practice: Practice,
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// One bundle of each kind.
pub fn bundles() -> serde_json::Result<Vec<Bundle>> {
    let log = json!({"log": {"rule": "doyle", "longest_scaling_length_ft": "16", "division": "near_equal"}});
    let hewn = json!({"hewn_timber": {"wane": "deducted",
        "tolerances": {"score_mark_depth_in": {"degraded_over": "0.5", "refused_over": "1"}}}});
    Ok(vec![
        bundle("doyle, long log in two or three segments", log, long_log)?,
        bundle("hewn timber, both ends, with wane", hewn, hewn_timber)?,
        bundle("tie", json!({"tie": {}}), tie)?,
        bundle("pole", json!({"pole": {"classes": [{"name": "30", "length_ft": "30"}]}}), pole)?,
    ])
}

fn bundle(
    what: &'static str,
    practice: Value,
    piece: impl Fn(&mut Chance) -> Value,
) -> serde_json::Result<Bundle> {
    let mut chance = Chance::from_seed(1_904);
    let pieces = (0..COUNT).map(|_| serde_json::from_value(piece(&mut chance)));
    Ok(Bundle {
        what,
        practice: serde_json::from_value(practice)?,
        pieces: pieces.collect::<Result<_, _>>()?,
    })
}

fn long_log(chance: &mut Chance) -> Value {
    let small = 16 + chance.below(40);
    let large = small + 4 + chance.below(12);
    json!({"product": "log", "species": "red pine", "small_diameter_in": [halves(small)],
        "large_diameter_in": [halves(large)], "length_ft": (18 + 2 * chance.below(15)).to_string(),
        "length_in": "4"})
}

fn hewn_timber(chance: &mut Chance) -> Value {
    let (width, thickness) = (16 + chance.below(12), 12 + chance.below(8));
    let end = |width: u64, thickness: u64| {
        json!({"width_in": halves(width), "thickness_in": halves(thickness),
            "wane": [{"width_in": "1", "thickness_in": "1.5"}]})
    };
    json!({"product": "hewn_timber", "species": "white oak", "small_end": end(width, thickness),
        "large_end": end(width + chance.below(3), thickness + chance.below(3)),
        "length_ft": (12 + chance.below(20)).to_string(), "score_mark_depth_in": "0.25"})
}

fn tie(chance: &mut Chance) -> Value {
    json!({"product": "tie", "species": "white oak", "width_in": halves(14 + chance.below(6)),
        "thickness_in": halves(12 + chance.below(4)), "length_ft": "8.5", "log_diameter_in": "13"})
}

fn pole(chance: &mut Chance) -> Value {
    json!({"product": "pole", "species": "red pine", "length_ft": (20 + chance.below(30)).to_string()})
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is measured under a name is what the name says.
    #[test]
    fn the_long_logs_are_scaled_in_segments() {
        let bundles = bundles().unwrap();
        assert_eq!(bundles.len(), 4);
        for piece in &bundles[0].pieces {
            let scaled = scaling::scale(&bundles[0].practice, piece).unwrap();
            assert!(scaled.working.iter().any(|step| step.step == scaling::StepKind::Segment), "{piece:?}");
        }
    }
}
