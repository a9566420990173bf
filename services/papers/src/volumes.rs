//! What was scaled in a week, by product and species, under each contract: a part of statements and crew sheets.

use kernel::Fixed;
use wire::{AuditVolumeRow, ContractVolumes, percent};

use crate::paper::{Block, Section};
use crate::table::{Cell, Column, Table};
use crate::words::capital;

/// How the share of defect is worked out.
const DEFECT: &str = "Defect is gross less net, as a share of gross, to the nearest tenth of a percent, halves up. Volumes of \
different contracts are scaled by different rules and are not added up.";

/// The volumes of each contract; none where nothing was scaled.
pub(crate) fn section(contracts: &[ContractVolumes], title: &str) -> Option<Section> {
    if contracts.is_empty() {
        return None;
    }
    let tables = (1_usize..).zip(contracts).map(|(place, one)| Block::Table(table(place, one)));
    let blocks = tables.chain([Block::Paragraph(DEFECT.to_owned())]).collect();
    Some(Section::new("volumes", title, blocks))
}

fn table(place: usize, contract: &ContractVolumes) -> Table {
    let heads = [
        Column::words("Timber"),
        Column::figures("Pieces"),
        Column::figures("Culls"),
        Column::figures("Gross"),
        Column::figures("Net"),
        Column::words("Unit"),
        Column::figures("Defect,\u{a0}%"),
    ];
    let caption = format!("{}: {}", contract.contract_title, contract.party_name);
    let mut table = Table::new(format!("table-volumes-{place}"), caption, heads);
    for row in &contract.rows {
        table.row(cells(row));
    }
    table
}

fn cells(row: &AuditVolumeRow) -> Vec<Cell> {
    let volume = |figure: Fixed| Cell::maybe(row.unit.map(|_| figure));
    vec![
        Cell::head(capital(&format!("{}, {}", row.species, row.product.words()))),
        Cell::figure(row.pieces),
        Cell::figure(row.culls),
        volume(row.gross),
        volume(row.net),
        Cell::words(row.unit.map(|unit| unit.words()).unwrap_or_default()),
        Cell::maybe(row.defect_share.map(percent)),
    ]
}
