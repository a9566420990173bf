//! Reads a defect: its kind, and the sizes its loss is reckoned from.

use scaling::DefectKind;
use serde_json::{Value, json};

use super::Misread;
use super::parts::Words;
use super::sizes::{Members, Size, System, Unit};
use super::token::Token;

/// Every kind, by the words it is typed with.
pub(super) const KINDS: [DefectKind; 20] = [
    DefectKind::HeartRot,
    DefectKind::ButtRot,
    DefectKind::RingShake,
    DefectKind::Check,
    DefectKind::Seam,
    DefectKind::Catface,
    DefectKind::Sweep,
    DefectKind::Crook,
    DefectKind::SapRot,
    DefectKind::Break,
    DefectKind::Crotch,
    DefectKind::WormHoles,
    DefectKind::FrostCrack,
    DefectKind::Scar,
    DefectKind::PitchRing,
    DefectKind::KnotCluster,
    DefectKind::SoundKnot,
    DefectKind::SpiralGrain,
    DefectKind::LooselyRanked,
    DefectKind::Other,
];

/// Reads a defect.
pub(super) fn read(part: &[Token], system: System) -> Result<Value, Misread> {
    let mut words = Words::new(part);
    let kind = kind(&mut words)?;
    let mut members = Members::new();
    members.insert("kind".to_owned(), json!(kind.name()));
    let method = measure(&mut words, system, &mut members)?;
    while let Some(token) = words.next() {
        let word = token.word().unwrap_or_default();
        match word.as_str() {
            "for" => along(&words.size(&word)?, "length", system, &mut members)?,
            "from" => along(&words.size(&word)?, "from_small_end", system, &mut members)?,
            "because" => {
                let _none = members.insert("reason".to_owned(), json!(words.text(&word)?));
            }
            "note" => {
                let _none = members.insert("note".to_owned(), json!(words.text(&word)?));
            }
            _ => {
                return Err(Misread::new(format!(
                    "\"{}\" is not understood of {}: h helps",
                    token.text(),
                    words_of(kind)
                )));
            }
        }
    }
    let runs = members.contains_key("length_ft") || members.contains_key("length_m");
    let method = if method == "sweep" && runs { bend(&mut members) } else { method };
    members.insert("method".to_owned(), json!(method));
    let defect = Value::Object(members);
    match serde_json::from_value::<scaling::Defect>(defect.clone()) {
        Ok(_) => Ok(defect),
        Err(error) => Err(Misread::new(format!("{}: {}", words_of(kind), Misread::of_document(&error)))),
    }
}

/// A kind as it is typed.
pub(super) fn words_of(kind: DefectKind) -> String {
    kind.name().replace('_', " ")
}

/// The kind: its words, or one of them that no other kind has.
fn kind(words: &mut Words<'_>) -> Result<DefectKind, Misread> {
    let first = words.peek().and_then(Token::word).unwrap_or_default();
    let second = words.second().and_then(Token::word).unwrap_or_default();
    let both = format!("{first} {second}");
    if let Some(kind) = KINDS.into_iter().find(|kind| words_of(*kind) == both) {
        let _two = (words.next(), words.next());
        return Ok(kind);
    }
    let begins: Vec<_> =
        KINDS.into_iter().filter(|kind| words_of(*kind).split(' ').any(|word| word == first)).collect();
    match begins.as_slice() {
        [kind] => {
            let _one = words.next();
            Ok(*kind)
        }
        [] => {
            let all: Vec<_> = KINDS.into_iter().map(words_of).collect();
            Err(Misread::new(format!("\"{first}\" is no defect; there are: {}", all.join(", "))))
        }
        more => {
            let all: Vec<_> = more.iter().map(|kind| words_of(*kind)).collect();
            Err(Misread::new(format!("\"{first}\" can be {}: type both words", all.join(" or "))))
        }
    }
}

/// How the loss is reckoned.
fn measure(words: &mut Words<'_>, system: System, members: &mut Members) -> Result<&'static str, Misread> {
    let unit = if system == System::Metric { "cm" } else { "in" };
    let mut set = |name: &str, value: &str| {
        let _none = members.insert(format!("{name}_{unit}"), json!(value));
    };
    if let Some(typed) = words.peek().and_then(Token::number) {
        let size = Size::read(typed)?;
        let _number = words.next();
        return match size.unit {
            Some(Unit::Percent) => {
                let _none = members.insert("percent".to_owned(), json!(size.single()?));
                Ok("estimate")
            }
            Some(Unit::Degrees) => {
                let _none = members.insert("angle_degrees".to_owned(), json!(size.single()?));
                Ok("pie_cut")
            }
            _ => {
                let (width, height) = size.pair()?;
                set("width", width);
                set("height", height);
                Ok("squared")
            }
        };
    }
    if words.take("oval") {
        let size = words.size("oval")?;
        let (major, minor) = size.pair()?;
        set("major", major);
        set("minor", minor);
        return Ok("ellipse");
    }
    if words.take("cut") {
        along(&words.size("cut")?, "length", system, members)?;
        return Ok("length_cut");
    }
    for (word, member, method) in
        [("deep", "depth", "diameter_cut"), ("core", "core", "sound_core"), ("out", "departure", "sweep")]
    {
        if words.take(word) {
            let size = words.size(word)?;
            set(member, size.single()?);
            return Ok(method);
        }
    }
    Ok("noted")
}

/// What is out of line along a part of the length only.
fn bend(members: &mut Members) -> &'static str {
    for unit in ["in", "cm"] {
        if let Some(value) = members.remove(&format!("departure_{unit}")) {
            members.insert(format!("deflection_{unit}"), value);
        }
    }
    "crook"
}

fn along(size: &Size, begin: &str, system: System, members: &mut Members) -> Result<(), Misread> {
    let unit = if system == System::Metric { "m" } else { "ft" };
    let _before = members.insert(format!("{begin}_{unit}"), json!(size.single()?));
    Ok(())
}
