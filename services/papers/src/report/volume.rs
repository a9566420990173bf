//! The report's section on volume by week and stage: for each stage and unit a chart with a panel for each scale.

use jiff::ToSpan;
use jiff::civil::Date;
use wire::{AuditReport, ScaledBy, Stage, VolumeWeekRow, percent};

use super::{paragraph, words};
use crate::charts::drawing::Heading;
use crate::charts::panels::{Bar, BarParts, Panel, panels};
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};
use crate::words::capital;

/// The last days of all settlement weeks of a report; the charts show those too in which nothing happened.
#[must_use]
pub fn weeks(report: &AuditReport) -> Vec<Date> {
    // A week of seven days ends six days after it began.
    let mut day = report.from.checked_add(6.days()).ok();
    let mut weeks = Vec::new();
    while let Some(ends_on) = day.filter(|day| *day <= report.to) {
        weeks.push(ends_on);
        day = ends_on.checked_add(7.days()).ok();
    }
    weeks
}

/// The section.
#[must_use]
pub fn section(report: &AuditReport) -> Section {
    let weeks = weeks(report);
    let says = "A piece that went on stands at every stage that it passed. Each panel is on the scale of one contract; panels \
of different contracts are scaled by different rules and are not to be added up. A scale that stands in is another contract's, \
because whoever did the work is paid otherwise than by volume.";
    let mut blocks = vec![paragraph(says)];
    for stage in Stage::ALL {
        // Headings for whoever goes through the page by them.
        let mut heading = Some(Block::Heading(words::stage(stage).to_owned()));
        let of_stage: Vec<&VolumeWeekRow> =
            report.volume_by_week.iter().filter(|row| row.stage == stage).collect();
        for unit in in_order(of_stage.iter().map(|row| words::unit(row.scaled_by.as_ref()))) {
            let rows: Vec<_> =
                of_stage.iter().copied().filter(|row| words::unit(row.scaled_by.as_ref()) == unit).collect();
            blocks.extend(heading.take());
            blocks.extend(one(stage, unit, &rows, &weeks));
        }
    }
    if report.volume_by_week.is_empty() {
        blocks.push(paragraph("Nothing was scaled in these weeks."));
    }
    Section::new("volume", "Volume by week and stage", blocks)
}

/// Each once, in the order in which they come.
fn in_order<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut found = Vec::new();
    for one in all {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}

fn one(stage: Stage, unit: &str, rows: &[&VolumeWeekRow], weeks: &[Date]) -> [Block; 2] {
    let id = format!("{}-{}", stage.name(), unit.replace(' ', "-"));
    let is_volume = rows.iter().any(|row| row.scaled_by.is_some());
    let heading = Heading {
        id: format!("chart-{id}"),
        title: format!("{}, {unit} by week", words::stage(stage)),
        says: says(rows, weeks, is_volume),
    };
    let scales = in_order(rows.iter().map(|row| scale_of(row.scaled_by.as_ref())));
    let drawn: Vec<Panel> = scales.iter().map(|scale| panel(scale.as_ref(), rows, weeks)).collect();
    let parts = match is_volume {
        true => BarParts { solid: "net scale", hatched: Some("taken by defect") },
        false => BarParts { solid: "pieces", hatched: None },
    };
    let chart = panels(&heading, parts, weeks, &drawn);
    [Block::Chart(chart), Block::Table(table(&id, stage, unit, rows))]
}

/// What tells one scale from another, whichever rules it had in a week.
fn scale_of(scale: Option<&ScaledBy>) -> Option<ScaledBy> {
    scale.map(|scale| ScaledBy { rules: Vec::new(), ..scale.clone() })
}

fn says(rows: &[&VolumeWeekRow], weeks: &[Date], is_volume: bool) -> String {
    let pieces: i64 = rows.iter().map(|row| row.pieces).sum();
    let span = words::count(weeks.len(), "week");
    let bars = if is_volume {
        "A bar is a week's gross scale, its solid part the net scale, its hatched part what defect took."
    } else {
        "A bar is a week's count: no contract measures a volume of these pieces."
    };
    format!("{bars} {} in {span}; the figures stand in the table below.", words::count(pieces, "piece"))
}

fn panel(scale: Option<&ScaledBy>, rows: &[&VolumeWeekRow], weeks: &[Date]) -> Panel {
    let of_scale: Vec<_> =
        rows.iter().filter(|row| scale_of(row.scaled_by.as_ref()).as_ref() == scale).collect();
    let rules =
        in_order(of_scale.iter().filter_map(|row| row.scaled_by.as_ref()).flat_map(|scale| &scale.rules));
    let rules = rules.into_iter().cloned().collect();
    let bar = |week: &Date| {
        let row = of_scale.iter().find(|row| row.week_ends_on == *week)?;
        match (row.gross, row.net) {
            (Some(whole), Some(solid)) => Some(Bar { whole, solid }),
            _ => kernel::Fixed::whole(row.pieces).ok().map(Bar::solid),
        }
    };
    let says = words::scale(scale.map(|scale| ScaledBy { rules, ..scale.clone() }).as_ref());
    Panel { says: vec![capital(&says)], bars: weeks.iter().map(bar).collect() }
}

fn table(id: &str, stage: Stage, unit: &str, rows: &[&VolumeWeekRow]) -> Table {
    let caption = format!("{}: {unit}, by week and scale", words::stage(stage));
    let heads = ["Week ending", "On the scale of", "Pieces", "Culls", "Gross", "Net", "Defect,\u{a0}%"];
    let rows = rows
        .iter()
        .map(|row| {
            vec![
                Cell::Head(row.week_ends_on.to_string()),
                Cell::Words(words::scale(row.scaled_by.as_ref())),
                Cell::figure(row.pieces),
                Cell::maybe(row.culls),
                Cell::maybe(row.gross),
                Cell::maybe(row.net),
                Cell::maybe(row.defect_share.map(percent)),
            ]
        })
        .collect();
    super::table(format!("table-{id}"), caption, &heads, rows)
}
