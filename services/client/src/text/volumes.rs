//! What was scaled, by product and species.

use wire::{AuditVolumeRow, ContractVolumes, percent};

use super::table::{Column, Table, indented};
use super::words;

/// How the share of defect is worked out, for the foot of every paper that shows it.
pub(super) const DEFECT: &str = "Defect is gross less net, as a share of gross, to the nearest tenth of a percent, \
halves up.";

/// The volumes of a week under each contract; empty where nothing was scaled.
pub(super) fn of_contracts(contracts: &[ContractVolumes]) -> String {
    if contracts.is_empty() {
        return String::new();
    }
    let mut text = "Scaled in the week\n\n".to_owned();
    for contract in contracts {
        text.push_str(&indented(&format!("{}: {}", contract.contract_title, contract.party_name), 2));
        text.push_str(&format!("{}\n", rows(&contract.rows)));
    }
    text.push_str(&indented(DEFECT, 2));
    text.push('\n');
    text
}

/// One contract's volumes.
pub(super) fn rows(rows: &[AuditVolumeRow]) -> String {
    if rows.is_empty() {
        return "  Nothing was scaled.\n".to_owned();
    }
    let mut table = Table::new([
        Column::text("Timber", 22),
        Column::number("Pieces"),
        Column::number("Culls"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::text("Unit", 12),
        Column::number("Defect"),
    ]);
    for row in rows {
        let scaled = row.unit.is_some();
        let volume = |figure: kernel::Fixed| if scaled { figure.to_string() } else { String::new() };
        table.row([
            format!("{}, {}", words::product(row.product), row.species),
            row.pieces.to_string(),
            row.culls.to_string(),
            volume(row.gross),
            volume(row.net),
            row.unit.map(words::volume_unit).unwrap_or_default().to_owned(),
            row.defect_share.map(|share| format!("{} %", percent(share))).unwrap_or_default(),
        ]);
    }
    table.to_string()
}
