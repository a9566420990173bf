//! What mills owe for the wood, and what crews earn on it.

use kernel::VolumeUnit;
use wire::{Margin, MarginPerUnit, MarginRow, MarginVolume};

use super::table::{Column, Table, hanging, indented};
use super::{amounts, facts, words};

/// The margin as a paper for the contractor: for each job and mill the wood, both sides, and what is left.
///
/// ```
/// let margin = serde_json::from_str(r#"{
///     "from": "2031-06-01", "to": "2031-06-07", "rows": [], "owed": {"amount": "0.00", "currency": "USD"},
///     "cost": {"amount": "0.00", "currency": "USD"}, "margin": {"amount": "0.00", "currency": "USD"},
///     "leaves_out": "Hours are not in it."
/// }"#)?;
/// let paper = client::text::margin(&margin);
/// assert!(paper.starts_with("MARGIN\n"));
/// assert!(paper.contains("Hours are not in it."));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn margin(margin: &Margin) -> String {
    let mut paper = "MARGIN\n\n".to_owned();
    paper.push_str(&facts(&[
        ("From", words::day(margin.from)),
        ("To", words::day(margin.to)),
        ("Amounts in", margin.margin.currency().to_string()),
    ]));
    if margin.rows.is_empty() {
        paper.push_str("\n  Nothing on tickets of these days was delivered.\n");
    }
    for row in &margin.rows {
        paper.push_str(&one_row(row));
    }
    paper.push_str("\nIn all\n\n");
    paper.push_str(&amounts(&[
        ("Owed by mills".to_owned(), margin.owed),
        ("Earned by crews on the same wood".to_owned(), margin.cost),
        ("Margin".to_owned(), margin.margin),
    ]));
    for wood in &margin.not_delivered {
        let tickets = words::count(wood.tickets, "ticket", "tickets");
        let says = format!(
            "Not in it: {} earned by crews on {tickets} of {} that went to no mill.",
            wood.cost, wood.job_name
        );
        paper.push('\n');
        paper.push_str(&hanging(&says, 2));
    }
    paper.push('\n');
    paper.push_str(&indented(&margin.leaves_out, 2));
    paper.push_str(&indented(
        "Each sum is exact and rounded once, halves away from zero; settlements round each week's lines, so the two can \
         differ by cents.",
        2,
    ));
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

fn one_row(row: &MarginRow) -> String {
    let tickets = words::count(row.tickets, "ticket", "tickets");
    let mut text = format!("\n{} to {}, {tickets}\n\n", row.job_name, row.mill_name);
    text.push_str(&volumes(&row.volumes));
    text.push('\n');
    let mut sums = vec![("Owed by the mill".to_owned(), row.owed)];
    sums.extend(row.tasks.iter().map(|task| (format!("Crews: {}", task.task), task.cost)));
    sums.push(("Crews in all".to_owned(), row.cost));
    sums.push(("Margin".to_owned(), row.margin));
    text.push_str(&amounts(&sums));
    if let Some(unit) = &row.per_unit {
        text.push('\n');
        text.push_str(&per_unit(unit));
    }
    for (count, says) in [
        (row.tickets_without_crew_cost, "Tickets on which no crew earns anything"),
        (row.tickets_without_price, "Tickets for which the mill owes nothing yet"),
    ] {
        if count != 0 {
            text.push_str(&format!("  {says}: {count}.\n"));
        }
    }
    text
}

fn volumes(rows: &[MarginVolume]) -> String {
    if rows.is_empty() {
        return "  The mill pays for none of it yet.\n".to_owned();
    }
    let mut table = Table::new([
        Column::text("On the mill's scale", 22),
        Column::number("Pieces"),
        Column::number("Culls"),
        Column::number("Gross"),
        Column::number("Net"),
    ]);
    for row in rows {
        let volume = |figure: kernel::Fixed| row.unit.map(|_| figure.to_string()).unwrap_or_default();
        table.row([
            row.unit.map_or("not by volume", words::volume_unit).to_owned(),
            row.pieces.to_string(),
            row.culls.to_string(),
            volume(row.gross),
            volume(row.net),
        ]);
    }
    table.to_string()
}

/// The size that figures are told for.
fn size(unit: &MarginPerUnit) -> String {
    match unit.unit {
        VolumeUnit::BoardFoot | VolumeUnit::CubicFoot => {
            format!("{} {}", unit.per, words::volume_unit(unit.unit))
        }
        VolumeUnit::CubicMetre => "cubic metre".to_owned(),
        VolumeUnit::Cord => "cord".to_owned(),
        VolumeUnit::StackedCubicMetre => "stacked cubic metre".to_owned(),
    }
}

fn per_unit(unit: &MarginPerUnit) -> String {
    let of = size(unit);
    amounts(&[
        (format!("Owed for each {of} net"), unit.owed),
        (format!("Crews, for each {of} net"), unit.cost),
        (format!("Margin on each {of} net"), unit.margin),
    ])
}

/// What each task costs on a unit of each job's delivered wood, beside what the mill owes for it; empty where nothing was
/// delivered.
pub(super) fn each_task(margin: &Margin) -> String {
    let mut text = String::new();
    for row in &margin.rows {
        let Some(unit) = &row.per_unit else { continue };
        let mut sums: Vec<_> = row
            .tasks
            .iter()
            .filter_map(|task| Some((format!("Crews: {}", task.task), task.per_unit?)))
            .collect();
        sums.push(("Crews in all".to_owned(), unit.cost));
        sums.push(("Owed by the mill".to_owned(), unit.owed));
        sums.push(("Margin".to_owned(), unit.margin));
        let heading =
            format!("{} to {}, for each {} net on the mill's scale", row.job_name, row.mill_name, size(unit));
        text.push_str(&format!("\n{}\n{}", hanging(&heading, 0), amounts(&sums)));
    }
    text
}
