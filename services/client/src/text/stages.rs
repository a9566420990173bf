//! The wood at each stage of the work.

use wire::{AuditVolumeRow, ScaledBy, StageRow};

use super::table::{hanging, indented};
use super::volumes;

/// The stages in the order of the work, at each of them the scales apart; empty where nothing was scaled.
pub(super) fn stages(rows: &[StageRow], says: &str) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut text = "\nThe wood at each stage\n".to_owned();
    let mut headings: Vec<(String, Vec<AuditVolumeRow>)> = Vec::new();
    for row in rows {
        let heading = format!("{}: {}", row.stage.name(), scale(row.scaled_by.as_ref()));
        match headings.iter_mut().find(|(known, _)| *known == heading) {
            Some((_, known)) => known.push(volume(row)),
            None => headings.push((heading, vec![volume(row)])),
        }
    }
    for (heading, rows) in headings {
        text.push_str(&format!("\n{}\n", hanging(&heading, 2)));
        text.push_str(&volumes::rows(&rows));
    }
    text.push('\n');
    text.push_str(&indented(says, 2));
    text
}

fn scale(scale: Option<&ScaledBy>) -> String {
    let Some(scale) = scale else { return "no contract measures a volume".to_owned() };
    let mut text = format!("on the scale of {}", scale.contract_title);
    if !scale.rules.is_empty() {
        text.push_str(&format!(" ({})", scale.rules.join(", ")));
    }
    if !scale.own {
        text.push_str(", which stands in");
    }
    text
}

fn volume(row: &StageRow) -> AuditVolumeRow {
    AuditVolumeRow {
        product: row.product,
        species: row.species.clone(),
        pieces: row.pieces,
        culls: row.culls.unwrap_or_default(),
        unit: row.scaled_by.as_ref().map(|scale| scale.unit),
        gross: row.gross.unwrap_or_default(),
        net: row.net.unwrap_or_default(),
        defect_share: row.defect_share,
        made_of: Vec::new(),
    }
}
