//! The audit report: volume, cost, defect, check scales, margin and pay over some weeks, every chart followed by its figures
//! as a table.
//!
//! [`report`] names the sections in their order; each has a file of its own.

pub mod check_scales;
pub mod cost;
pub mod defect;
pub mod exceptions;
pub mod margin;
pub mod pay;
pub mod volume;
pub mod words;

use wire::AuditReport;
use wire::words::day;

use crate::paper::{Block, Fact, Paper, Section};
use crate::table::{Cell, Column, Table};
use crate::words::file_name;

/// The paper of a report; what its reader may not see has no section.
#[must_use]
pub fn report(report: &AuditReport) -> Paper {
    let job = report.job_name.as_deref().unwrap_or("all jobs");
    let mut paper = Paper::new("Volume against pay", "", &report.outfit_name);
    paper.span = format!("Audit of {} to {}, {job}", report.from, report.to);
    paper.file_name = file_name(&["audit", &report.from.to_string(), &report.to.to_string()]);
    let span = format!("{} to {}, whole settlement weeks", day(report.from), day(report.to));
    let made = format!("{}, for {} ({})", report.made_on, report.made_for, report.role.name());
    paper.facts = vec![
        Fact::new("Outfit", &report.outfit_name),
        Fact::new("Job", job),
        Fact::new("Weeks", span),
        Fact::new("Drawn up on", made),
    ];
    paper.listed = true;
    paper.sections = [
        Some(volume::section(report)),
        cost::section(report),
        Some(defect::section(report)),
        Some(check_scales::section(report)),
        margin::section(report),
        Some(pay::section(report)),
        exceptions::section(report),
        Some(notes(report)),
    ]
    .into_iter()
    .flatten()
    .collect();
    paper
}

/// A table of the report: those columns hold figures whose cells in the first row do.
fn table<H: AsRef<str>>(
    id: impl Into<String>,
    caption: impl Into<String>,
    heads: &[H],
    rows: Vec<Vec<Cell>>,
) -> Table {
    let is_figure =
        |place: usize| matches!(rows.first().and_then(|row| row.get(place)), Some(Cell::Figure(_)));
    let column = |(place, head): (usize, &H)| match is_figure(place) {
        true => Column::figures(head.as_ref()),
        false => Column::words(head.as_ref()),
    };
    let mut table = Table::new(id, caption, heads.iter().enumerate().map(column));
    table.empty = format!("{}: none in these weeks.", table.caption);
    for row in rows {
        table.row(row);
    }
    table
}

fn paragraph(says: impl Into<String>) -> Block {
    Block::Paragraph(says.into())
}

fn notes(report: &AuditReport) -> Section {
    let notes = &report.notes;
    let ask = "Every figure can be followed down through the service: the report as JSON names with its rows the addresses \
of the tickets, lines, payments and statements that they are made of. About a measurement ask the scaler whose name stands \
on the ticket; about pay, whoever keeps the outfit's books.";
    let known = [
        ("Units", notes.units.as_str()),
        ("Rounding", notes.rounding.as_str()),
        ("On whose scale", notes.scales.as_str()),
        ("Where to look and whom to ask", ask),
        ("Caution", notes.caution.as_str()),
    ];
    let blocks =
        known.into_iter().flat_map(|(title, says)| [Block::Heading(title.to_owned()), paragraph(says)]);
    Section::new("notes", "How to read it", blocks.collect())
}
