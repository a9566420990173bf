//! The page's section on what defect took, by scaler.

use kernel::Fixed;
use maud::html;
use wire::{AuditReport, ScalerDefect, percent};

use super::{Section, ShowMadeOf, figure};
use crate::charts::drawing::Heading;
use crate::charts::shares::{ShareBar, ShareGroup, shares};
use crate::table::{Cell, Table};
use crate::words;

/// The section.
#[must_use]
pub fn section(report: &AuditReport, show: Option<ShowMadeOf<'_>>) -> Section {
    let rows = &report.defect_by_scaler;
    let heading = Heading {
        id: "chart-defect".to_owned(),
        title: "Defect as a share of gross scale, by scaler".to_owned(),
        says: "A group of bars for each scale; within it a bar for each scaler. The figures stand in the table below."
            .to_owned(),
    };
    let content = html! {
        p { "A higher share tells no better scaler and no worse one: each may have had other timber before him. Only a check \
    scale compares two people on the same sticks." }
        @if rows.is_empty() {
            p { "Nothing with a volume was scaled in these weeks." }
        } @else {
            (figure(&heading, &shares(&heading, &groups(rows)), &table(rows).shown_with(show)))
        }
    };
    Section { id: "defect", title: "Defect share, by scaler", content }
}

/// The scalers on each scale; the rows come by scale.
fn groups(rows: &[ScalerDefect]) -> Vec<ShareGroup> {
    let mut groups: Vec<ShareGroup> = Vec::new();
    let mut last = None;
    for row in rows {
        let scale = (row.scaled_by.contract_id, row.scaled_by.unit);
        if last.replace(scale) != Some(scale) {
            let says = format!("{}, {}", words::scale(Some(&row.scaled_by)), row.scaled_by.unit.words());
            groups.push(ShareGroup { says: words::capital(&says), bars: Vec::new() });
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
        ["Scaler", "On the scale of", "Unit", "Timber", "Pieces", "Culls", "Gross", "Net", "Defect, %"];
    let mut table = Table::new("table-defect", "Defect by scaler, scale and timber", &heads);
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
        table.add(all, &row.made_of);
        for timber in &row.timber {
            let mut cells = about(format!("{}, {}", timber.product.words(), timber.species));
            cells.extend([
                Cell::figure(timber.pieces),
                Cell::figure(timber.culls),
                Cell::figure(timber.gross),
                Cell::figure(timber.net),
                Cell::maybe(timber.defect_share.map(percent)),
            ]);
            table.add(cells, &row.made_of);
        }
    }
    table
}
