//! How the report writes scales, stages and counts.

use kernel::VolumeUnit;
use wire::{MarginPerUnit, ScaledBy, Stage};

/// A stage as a heading.
#[must_use]
pub const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Felled => "Felled",
        Stage::Hewn => "Hewn",
        Stage::Skidded => "Skidded",
        Stage::Hauled => "Hauled",
        Stage::Delivered => "Delivered",
    }
}

/// A scale by its contract, its rule, and whether it stands in.
#[must_use]
pub fn scale(scale: Option<&ScaledBy>) -> String {
    let Some(scale) = scale else { return "no volume: pieces alone".to_owned() };
    let mut text = scale.contract_title.clone();
    if !scale.rules.is_empty() {
        text.push_str(&format!(" ({})", scale.rules.join(", ")));
    }
    if !scale.own {
        text.push_str(", standing in");
    }
    text
}

/// What volumes of a scale are in; pieces, where there is none.
#[must_use]
pub fn unit(scale: Option<&ScaledBy>) -> &'static str {
    scale.map_or("pieces", |scale| scale.unit.words())
}

/// The size that costs are told for.
#[must_use]
pub fn per(unit: &MarginPerUnit) -> String {
    match unit.unit {
        VolumeUnit::BoardFoot => "thousand board feet".to_owned(),
        VolumeUnit::CubicFoot => "hundred cubic feet".to_owned(),
        VolumeUnit::CubicMetre => "cubic metre".to_owned(),
        VolumeUnit::Cord => "cord".to_owned(),
        VolumeUnit::StackedCubicMetre => "stacked cubic metre".to_owned(),
    }
}

/// A count with its noun, which takes an s where there is not one.
#[must_use]
pub fn count(count: impl TryInto<i64>, one: &str) -> String {
    let count = count.try_into().unwrap_or(i64::MAX);
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}
