//! What was scaled, by product and species.

use kernel::{Exact, NumberError, Rounding};
use wire::{AuditVolumeRow, ContractVolumes};

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
            row.defect_share.map(percent).unwrap_or_default(),
        ]);
    }
    table.to_string()
}

/// A share as a percentage: to the nearest tenth, halves up, as the foot of the paper says.
fn percent(share: Exact) -> String {
    let tenth = |share: Exact| -> Result<Exact, NumberError> {
        share.times(Exact::of(100))?.rounded_to(Exact::fraction(1, 10), Rounding::HalfUp)
    };
    tenth(share).map(|percent| format!("{percent} %")).unwrap_or_else(|_| share.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_rounded_to_a_tenth_of_a_percent_halves_up() {
        for (share, text) in [
            (Exact::fraction(1, 3), "33.3 %"),
            (Exact::fraction(2, 3), "66.7 %"),
            (Exact::fraction(1_2345, 10_0000), "12.3 %"), // 12.345
            (Exact::fraction(1_25, 10_00), "12.5 %"),
            (Exact::fraction(1_2450, 10_0000), "12.5 %"), // 12.45, a half
            (Exact::ZERO, "0 %"),
            (Exact::ONE, "100 %"),
        ] {
            assert_eq!(percent(share), text);
        }
    }
}
