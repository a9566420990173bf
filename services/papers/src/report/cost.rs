//! The report's section on cost per thousand by task and week: for each job and mill a chart with a panel for each task.

use jiff::civil::Date;
use kernel::{Fixed, JobId, MillId, Money};
use settlement::Task;
use wire::{AuditReport, MarginPerUnit, MarginRow};

use super::volume::weeks;
use super::{paragraph, words};
use crate::charts::drawing::Heading;
use crate::charts::panels::{Bar, BarParts, Panel, panels};
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};
use crate::words::capital;

/// The section; none for a mill.
#[must_use]
pub fn section(report: &AuditReport) -> Option<Section> {
    report.margin.as_ref()?;
    let weeks = weeks(report);
    let mut woods: Vec<(JobId, MillId)> = Vec::new();
    for row in &report.cost_by_week {
        if !woods.contains(&(row.job_id, row.mill_id)) {
            woods.push((row.job_id, row.mill_id));
        }
    }
    let says = "What crews earn on wood that was delivered, task by task, held against the mill's net scale of the same wood. \
Make-up, premiums, hours and days that are tied to no ticket are not in it.";
    let mut blocks = vec![paragraph(says)];
    if woods.is_empty() {
        blocks.push(paragraph("Nothing was delivered in these weeks."));
    }
    for (number, wood) in (1_u32..).zip(&woods) {
        let rows: Vec<_> =
            report.cost_by_week.iter().filter(|row| (row.job_id, row.mill_id) == *wood).collect();
        blocks.extend(one(number, &rows, &weeks, report));
    }
    Some(Section::new("cost", "Cost per thousand, by task and week", blocks))
}

/// A job's wood to one mill: each task, then both sides.
fn one(number: u32, rows: &[&MarginRow], weeks: &[Date], report: &AuditReport) -> Vec<Block> {
    let Some(first) = rows.first() else { return Vec::new() };
    let wood = format!("{} to {}", first.job_name, first.mill_name);
    let tasks: Vec<Task> =
        Task::ALL.into_iter().filter(|task| rows.iter().any(|row| cost(row, *task).is_some())).collect();
    let of_tasks = tasks.iter().map(|task| Column {
        says: capital(task.name()),
        figure: Box::new(|row: &MarginRow| cost(row, *task)),
    });
    let sides: [Column<'_>; 3] = [
        Column { says: "Mill owes".to_owned(), figure: Box::new(|row| Some(row.per_unit.as_ref()?.owed)) },
        Column { says: "All crews".to_owned(), figure: Box::new(|row| Some(row.per_unit.as_ref()?.cost)) },
        Column { says: "Margin".to_owned(), figure: Box::new(|row| Some(row.per_unit.as_ref()?.margin)) },
    ];
    let size = same_size(rows.iter().filter_map(|row| row.per_unit.as_ref()));
    let drawn = [
        Drawn { id: format!("tasks-{number}"), what: "what each task costs", columns: of_tasks.collect() },
        Drawn { id: format!("sides-{number}"), what: "both sides and the margin", columns: sides.into() },
    ];
    let mut blocks = vec![Block::Heading(wood.clone())];
    if size.is_none() {
        let says =
            "There is no chart: no week of this wood is measured in one unit, or not all weeks in the same.";
        blocks.push(paragraph(says));
    }
    for one in drawn.iter().filter(|one| !one.columns.is_empty()) {
        blocks.extend(one.shown(&wood, size, rows, (weeks, report)));
    }
    blocks
}

/// Takes a figure from a row.
type Figure<'a> = dyn Fn(&MarginRow) -> Option<Money> + 'a;

/// What stands in a column of the table, and in a panel of the chart.
struct Column<'a> {
    says: String,
    figure: Box<Figure<'a>>,
}

/// A chart and the table after it.
struct Drawn<'a> {
    id: String,
    what: &'a str,
    columns: Vec<Column<'a>>,
}

impl Drawn<'_> {
    fn shown(
        &self,
        wood: &str,
        size: Option<&MarginPerUnit>,
        rows: &[&MarginRow],
        (weeks, report): (&[Date], &AuditReport),
    ) -> Vec<Block> {
        let caption = format!("{wood}: {}, {} on the mill's net scale", self.what, report.currency);
        let table = Block::Table(self.table(caption, rows));
        let Some(size) = size else { return vec![table] };
        let heading = Heading {
            id: format!("chart-{}", self.id),
            title: format!(
                "{wood}: {} by week, {} for each {} net",
                self.what,
                report.currency,
                words::per(size)
            ),
            says: "A bar is a week; all panels have one axis. The figures stand in the table below."
                .to_owned(),
        };
        let bar = |column: &Column<'_>, week: &Date| {
            let row = rows.iter().find(|row| row.week_ends_on == Some(*week))?;
            (column.figure)(row)?.amount_text().parse::<Fixed>().ok().map(Bar::solid)
        };
        let drawn: Vec<Panel> = self
            .columns
            .iter()
            .map(|column| Panel {
                says: vec![column.says.clone()],
                bars: weeks.iter().map(|week| bar(column, week)).collect(),
            })
            .collect();
        let parts = BarParts { solid: report.currency.code(), hatched: None };
        vec![Block::Chart(panels(&heading, parts, weeks, &drawn)), table]
    }

    fn table(&self, caption: String, rows: &[&MarginRow]) -> Table {
        let mut heads = ["Week ending", "For each", "Net scale"].map(str::to_owned).to_vec();
        heads.extend(self.columns.iter().map(|column| column.says.clone()));
        let mut all_rows = Vec::new();
        for row in rows {
            let net = match row.volumes.as_slice() {
                [one] => one.unit.map(|_| one.net),
                _ => None,
            };
            let mut cells = vec![
                Cell::Head(row.week_ends_on.map(|day| day.to_string()).unwrap_or_default()),
                Cell::Words(row.per_unit.as_ref().map_or("no one unit".to_owned(), words::per)),
                Cell::maybe(net),
            ];
            let figures = self.columns.iter().map(|column| (column.figure)(row));
            cells.extend(figures.map(|figure| Cell::maybe(figure.map(Money::amount_text))));
            all_rows.push(cells);
        }
        super::table(format!("table-{}", self.id), caption, &heads, all_rows)
    }
}

/// The cost of a task on a unit of the wood.
fn cost(row: &MarginRow, task: Task) -> Option<Money> {
    row.tasks.iter().find(|one| one.task == task)?.per_unit
}

/// The size that all of them are told for, if it is one.
fn same_size<'a>(sizes: impl Iterator<Item = &'a MarginPerUnit>) -> Option<&'a MarginPerUnit> {
    let mut first: Option<&MarginPerUnit> = None;
    for size in sizes {
        if first.is_some_and(|first| first.unit != size.unit) {
            return None;
        }
        first = first.or(Some(size));
    }
    first
}
