//! The report's section on what defect took, by scaler.

use kernel::Fixed;
use wire::{AuditReport, ScalerDefect, percent};

use super::{paragraph, words};
use crate::charts::drawing::Heading;
use crate::charts::shares::{ShareBar, ShareGroup, shares};
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};
use crate::words::capital;

/// The section.
#[must_use]
pub fn section(report: &AuditReport) -> Section {
    let rows = &report.defect_by_scaler;
    let heading = Heading {
        id: "chart-defect".to_owned(),
        title: "Defect as a share of gross scale, by scaler".to_owned(),
        says: "A group of bars for each scale; within it a bar for each scaler. The figures stand in the table below."
            .to_owned(),
    };
    let says = "A higher share tells no better scaler and no worse one: each may have had other timber before him. Only a check \
scale compares two people on the same sticks.";
    let mut blocks = vec![paragraph(says)];
    if rows.is_empty() {
        blocks.push(paragraph("Nothing with a volume was scaled in these weeks."));
    } else {
        blocks.extend([Block::Chart(shares(&heading, &groups(rows))), Block::Table(table(rows))]);
    }
    Section::new("defect", "Defect share, by scaler", blocks)
}

/// The scalers on each scale; the rows come by scale.
fn groups(rows: &[ScalerDefect]) -> Vec<ShareGroup> {
    let mut groups: Vec<ShareGroup> = Vec::new();
    let mut last = None;
    for row in rows {
        let scale = (row.scaled_by.contract_id, row.scaled_by.unit);
        if last.replace(scale) != Some(scale) {
            let says = format!("{}, {}", words::scale(Some(&row.scaled_by)), row.scaled_by.unit.words());
            groups.push(ShareGroup { says: capital(&says), bars: Vec::new() });
        }
        let bar = ShareBar {
            name: row.scaler.clone(),
            percent: row.defect_share.and_then(|share| percent(share).parse().ok()).unwrap_or(Fixed::ZERO),
            of: format!("{} gross", row.gross),
        };
        if let Some(group) = groups.last_mut() {
            group.bars.push(bar);
        }
    }
    groups
}

fn table(rows: &[ScalerDefect]) -> Table {
    let heads =
        ["Scaler", "On the scale of", "Unit", "Timber", "Pieces", "Culls", "Gross", "Net", "Defect,\u{a0}%"];
    let mut all_rows = Vec::new();
    for row in rows {
        let about = |timber: String| {
            vec![
                Cell::Head(row.scaler.clone()),
                Cell::Words(words::scale(Some(&row.scaled_by))),
                Cell::Words(row.scaled_by.unit.words().to_owned()),
                Cell::Words(timber),
            ]
        };
        let mut all = about("all".to_owned());
        all.extend([Cell::figure(row.pieces), Cell::figure(row.culls), Cell::figure(row.gross)]);
        all.extend([Cell::figure(row.net), Cell::maybe(row.defect_share.map(percent))]);
        all_rows.push(all);
        for timber in &row.timber {
            let mut cells = about(format!("{}, {}", timber.product.words(), timber.species));
            cells.extend([
                Cell::figure(timber.pieces),
                Cell::figure(timber.culls),
                Cell::figure(timber.gross),
                Cell::figure(timber.net),
                Cell::maybe(timber.defect_share.map(percent)),
            ]);
            all_rows.push(cells);
        }
    }
    super::table("table-defect", "Defect by scaler, scale and timber", &heads, all_rows)
}
