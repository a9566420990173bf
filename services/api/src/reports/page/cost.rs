//! The page's section on cost per thousand by task and week: for each job and mill a chart with a panel for each task.

use jiff::civil::Date;
use kernel::{Fixed, JobId, MillId, Money};
use maud::{Markup, html};
use settlement::Task;
use wire::{AuditReport, MarginPerUnit, MarginRow};

use super::table::{Cell, Table};
use super::volume::weeks;
use super::{Section, figure, words};
use crate::reports::charts::drawing::Heading;
use crate::reports::charts::panels::{Bar, BarParts, Panel, panels};

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
    let content = html! {
        p { "What crews earn on wood that was delivered, task by task, held against the mill's net scale of the same wood. \
Make-up, premiums, hours and days that are tied to no ticket are not in it." }
        @if woods.is_empty() { p { "Nothing was delivered in these weeks." } }
        @for (number, wood) in (1_u32..).zip(&woods) {
            @let rows: Vec<_> =
                report.cost_by_week.iter().filter(|row| (row.job_id, row.mill_id) == *wood).collect();
            (one(number, &rows, &weeks, report))
        }
    };
    Some(Section { id: "cost", title: "Cost per thousand, by task and week", content })
}

/// A job's wood to one mill.
fn one(number: u32, rows: &[&MarginRow], weeks: &[Date], report: &AuditReport) -> Markup {
    let Some(first) = rows.first() else { return html! {} };
    let wood = format!("{} to {}", first.job_name, first.mill_name);
    let tasks: Vec<Task> =
        Task::ALL.into_iter().filter(|task| rows.iter().any(|row| cost(row, *task).is_some())).collect();
    let table = table(number, &wood, &tasks, rows, report).shown();
    let sizes = rows.iter().filter_map(|row| row.per_unit.as_ref());
    let Some(size) = same_size(sizes) else {
        return html! {
            h3 { (wood) }
            p { "There is no chart: no week of this wood is measured in one unit, or not all weeks in the same." }
            (table)
        };
    };
    let heading = Heading {
        id: format!("chart-cost-{number}"),
        title: format!("{wood}: cost by week, {} for each {} net", report.currency, words::per(size)),
        says: "A panel for each task, one for what the mill owes, one for what is left; a bar is a week. All panels have one \
axis. The figures stand in the table below."
            .to_owned(),
    };
    let panel = |says: String, figure: &dyn Fn(&MarginRow) -> Option<Money>| Panel {
        says: vec![says],
        bars: weeks
            .iter()
            .map(|week| {
                let row = rows.iter().find(|row| row.week_ends_on == Some(*week))?;
                figure(row)?.amount_text().parse::<Fixed>().ok().map(Bar::solid)
            })
            .collect(),
    };
    let mut drawn: Vec<Panel> = tasks
        .iter()
        .map(|task| panel(words::capital(task.name()), &|row: &MarginRow| cost(row, *task)))
        .collect();
    drawn.push(panel("The mill owes".to_owned(), &|row: &MarginRow| Some(row.per_unit.as_ref()?.owed)));
    drawn.push(panel("Margin".to_owned(), &|row: &MarginRow| Some(row.per_unit.as_ref()?.margin)));
    let parts = BarParts { solid: report.currency.code(), hatched: None };
    figure(&heading, &panels(&heading, parts, weeks, &drawn), &table)
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

fn table(number: u32, wood: &str, tasks: &[Task], rows: &[&MarginRow], report: &AuditReport) -> Table {
    let caption = format!("{wood}: {} for each unit of the mill's net scale, by week", report.currency);
    let mut heads = vec!["Week ending".to_owned(), "For each".to_owned(), "Net scale".to_owned()];
    heads.extend(tasks.iter().map(|task| words::capital(task.name())));
    heads.extend(["All crews", "Mill owes", "Margin"].map(str::to_owned));
    let mut table = Table::new(format!("table-cost-{number}"), caption, &[]);
    table.heads = heads;
    for row in rows {
        let unit = row.per_unit.as_ref();
        let amount = |figure: Option<Money>| Cell::maybe(figure.map(Money::amount_text));
        let net = match row.volumes.as_slice() {
            [one] => one.unit.map(|_| one.net),
            _ => None,
        };
        let mut cells = vec![
            Cell::Head(row.week_ends_on.map(|day| day.to_string()).unwrap_or_default()),
            Cell::Words(unit.map_or("more than one unit".to_owned(), words::per)),
            Cell::maybe(net),
        ];
        cells.extend(tasks.iter().map(|task| amount(cost(row, *task))));
        cells.push(amount(unit.map(|unit| unit.cost)));
        cells.push(amount(unit.map(|unit| unit.owed)));
        cells.push(amount(unit.map(|unit| unit.margin)));
        table.rows.push(cells);
    }
    table
}
