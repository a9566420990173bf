//! What mills sawed, beside the scale of the logs.

use audit::Overrun;
use kernel::Fixed;
use wire::{LeftOut, MillTallyView, OverrunAudit, OverrunRow, OverrunScale};

use super::table::{Column, Table, hanging, indented};
use super::{facts, words};

/// The overrun as a paper: for each tally the scale of its logs, and what was sawed over or under it. No figure stands
/// without its base, its rule and the state of the lumber.
///
/// ```
/// let audit = serde_json::from_str(r#"{"from": "2031-06-01", "to": "2031-06-07", "rows": [], "caution": "Judge with care."}"#)?;
/// let paper = client::text::overrun(&audit);
/// assert!(paper.starts_with("OVERRUN\n"));
/// assert!(paper.contains("Judge with care."));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn overrun(audit: &OverrunAudit) -> String {
    let mut paper = "OVERRUN\n\n".to_owned();
    paper.push_str(&facts(&[("From", words::day(audit.from)), ("To", words::day(audit.to))]));
    if audit.rows.is_empty() {
        paper.push_str("\n  No mill tally of these days stands.\n");
    }
    for row in &audit.rows {
        paper.push_str(&one_row(row));
    }
    paper.push('\n');
    paper.push_str(&indented(&audit.caution, 2));
    paper
}

/// A tally as it is told after it was filed.
///
/// ```
/// let tally = serde_json::from_str(r#"{
///     "mill_tally_id": "0197a000-0000-7000-8000-000000000001", "mill_id": "0197a000-0000-7000-8000-000000000002",
///     "mill_name": "River mill", "from": "2031-06-01", "to": "2031-06-07", "lumber": {"in_all": "48250"},
///     "board_feet": "48250", "lumber_state": "rough_green", "tallied_by": "the tallyman", "made_by": "office",
///     "made_at": "2031-06-08T12:00:00Z"
/// }"#)?;
/// assert!(client::text::mill_tally(&tally).contains("48250 board feet of rough green lumber"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn mill_tally(tally: &MillTallyView) -> String {
    let mut text = format!("\n{}, {} to {}", tally.mill_name, tally.from, tally.to);
    if let Some(job) = &tally.job_name {
        text.push_str(&format!(", {job}"));
    }
    text.push_str("\n\n");
    let says = format!(
        "{} board feet of {}, tallied by {}; tally {}",
        tally.board_feet,
        tally.lumber_state.says(),
        tally.tallied_by,
        tally.mill_tally_id
    );
    text.push_str(&indented(&says, 2));
    if let Some(remarks) = &tally.remarks {
        text.push_str(&indented(remarks, 2));
    }
    if let Some(withdrawn) = &tally.withdrawn {
        text.push_str(&indented(&format!("Taken back by {}: {}", withdrawn.made_by, withdrawn.reason), 2));
    }
    text
}

fn one_row(row: &OverrunRow) -> String {
    let mut text = mill_tally(&row.tally);
    text.push('\n');
    let mut table = Table::new([
        Column::text("Of", 24),
        Column::number("Logs"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::number("Tally"),
    ]);
    scales(&mut table, "all", &row.scales, Some(row.tally.board_feet));
    for species in &row.species {
        scales(&mut table, &species.species, &species.scales, species.tally);
    }
    text.push_str(&table.to_string());
    text.push('\n');
    told(&mut text, "all", &row.figures, &row.not_comparable);
    for species in &row.species {
        told(&mut text, &species.species, &species.figures, &species.not_comparable);
    }
    let tickets = words::count(row.tickets, "ticket", "tickets");
    let mut notes = vec![format!("The logs are on {tickets}, by the days they were scaled.")];
    notes.extend(row.left_out.iter().map(left_out));
    if row.entered_since > 0 {
        notes.push(format!("Came after the tally was filed, and counted: {}.", row.entered_since));
    }
    if row.corrected_since > 0 {
        notes.push(format!("Corrected after the tally was filed: {}.", row.corrected_since));
    }
    notes.extend(row.overlaps.iter().map(|other| format!("Tally {other} claims some of the same logs.")));
    notes.iter().for_each(|note| text.push_str(&hanging(note, 2)));
    text
}

/// Pieces that are in none of the figures.
pub(super) fn left_out(one: &LeftOut) -> String {
    format!("Not in it, {}: {}.", words::count(one.pieces, "piece", "pieces"), one.says)
}

fn scales(table: &mut Table, of: &str, scales: &[OverrunScale], tally: Option<Fixed>) {
    let lumber = tally.map(|tally| tally.to_string()).unwrap_or_default();
    if scales.is_empty() {
        table.row([of.to_owned(), "0".to_owned(), String::new(), String::new(), lumber.clone()]);
    }
    for (place, scale) in scales.iter().enumerate() {
        let lumber = if place == 0 { lumber.clone() } else { String::new() };
        table.row([
            of.to_owned(),
            scale.logs.to_string(),
            scale.gross.to_string(),
            scale.net.to_string(),
            lumber,
        ]);
        table.note(format!("{} by {}", words::volume_unit(scale.unit), scale.rule));
    }
}

fn told(text: &mut String, of: &str, figures: &[Overrun], not_comparable: &[String]) {
    for figure in figures {
        let (word, percent) = if figure.percent.is_negative() {
            ("Underrun", Fixed::from_millionths(figure.percent.millionths().saturating_neg()))
        } else {
            ("Overrun", figure.percent)
        };
        let says = format!(
            "{word}, {of}: {percent} percent on {} scale by {} ({} on {}, {})",
            figure.base.name(),
            figure.rule,
            figure.tally,
            figure.scale,
            figure.lumber.says()
        );
        text.push_str(&hanging(&says, 2));
    }
    for reason in not_comparable {
        text.push_str(&hanging(&format!("No figure, {of}: {reason}."), 2));
    }
}
