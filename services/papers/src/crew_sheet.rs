//! The crew's settlement sheet: what the crew earned by a settlement, and how every line of it was divided.

use settlement::LineKind;
use wire::words::{adjusted, adjustment, count, day, unit};
use wire::{CrewMember, CrewSheet, LineView, SettlementState};

use crate::paper::{Block, Fact, Lead, Paper, Section, Standing};
use crate::table::{Cell, Column, Table};
use crate::volumes;
use crate::words::{capital, file_name};

/// As many members as have a column beside one another.
const MEMBERS_BESIDE: usize = 5;

/// The paper of a crew's sheet. One that is drafted says so.
///
/// ```
/// let sheet = serde_json::from_str(r#"{
///     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
///     "crew_id": "0197a000-0000-7000-8000-000000000003", "crew_name": "North crew", "outfit_name": "Pine outfit",
///     "lines": [], "volumes": [], "members": [], "total": {"amount": "0.00", "currency": "USD"},
///     "caution": "Not legal advice."
/// }"#)?;
/// let paper = papers::crew_sheet(&sheet);
/// assert_eq!(paper.standing.map(|standing| standing.word).as_deref(), Some("Draft"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn crew_sheet(sheet: &CrewSheet) -> Paper {
    let mut paper = Paper::new("Crew sheet", &sheet.crew_name, &sheet.outfit_name);
    paper.span = format!("Week ending {}", sheet.week_ends_on);
    paper.file_name = file_name(&["crew sheet", &sheet.crew_name, &sheet.week_ends_on.to_string()]);
    paper.standing = (sheet.state == SettlementState::Draft).then(|| Standing {
        word: "Draft".to_owned(),
        says: "It is not posted: nothing is paid by it, and it may still change.".to_owned(),
        struck: false,
    });
    paper.leads = vec![Lead {
        name: "What the crew earned".to_owned(),
        figure: sheet.total.to_string(),
        says: "Divided below to the cent. What each member has coming stands on his own statement."
            .to_owned(),
    }];
    paper.facts = vec![
        Fact::new("Week ending", day(sheet.week_ends_on)),
        Fact::new("Outfit", &sheet.outfit_name),
        Fact::new("Settlement", sheet.settlement_id.to_string()),
    ];
    paper.sections = [
        Some(lines(sheet)),
        division(sheet),
        volumes::section(&sheet.volumes, "Scaled in the week"),
        Some(signing(sheet)),
    ]
    .into_iter()
    .flatten()
    .collect();
    paper
}

fn lines(sheet: &CrewSheet) -> Section {
    let heads = [
        Column::words("Line"),
        Column::words("Work"),
        Column::figures("Quantity"),
        Column::words("Unit"),
        Column::figures("Price"),
        Column::figures("Amount"),
    ];
    let mut table = Table::new("table-lines", format!("Amounts in {}", sheet.total.currency()), heads);
    table.empty = "There are no lines: the settlement pays the crew nothing.".to_owned();
    for line in &sheet.lines {
        table.row([
            Cell::head(line.number),
            Cell::words(work(line)),
            Cell::figure(line.quantity),
            Cell::words(unit(line.unit, line.basis)),
            Cell::figure(line.price),
            Cell::figure(line.amount.amount_text()),
        ]);
        table.remark(about(line));
        if line.kind == LineKind::Adjustment {
            table.remark(adjustment(line));
        }
    }
    if !sheet.lines.is_empty() {
        let none = || Cell::words("");
        let sum = Cell::figure(sheet.total.amount_text());
        table.total([none(), Cell::head("The crew in all"), none(), none(), none(), sum]);
    }
    Section::new("lines", "What the crew earned", vec![Block::Table(table)])
}

fn work(line: &LineView) -> String {
    format!("{}: {}", capital(line.task.name()), line.rate_name)
}

fn about(line: &LineView) -> String {
    let mut says = line.contract_title.clone();
    if line.pieces != 0 {
        says.push_str(&format!("; {}", count(line.pieces, "piece", "pieces")));
    }
    let adjusted = adjusted(&line.withdrawn_adjustments, &line.entered_adjustments);
    if !adjusted.is_empty() {
        says.push_str(&format!("; {adjusted}"));
    }
    format!("{says}.")
}

/// Lines down, members across: each line's parts add up to it, and each member's to his total.
fn division(sheet: &CrewSheet) -> Option<Section> {
    if sheet.members.is_empty() {
        return None;
    }
    let mut blocks: Vec<_> = (1_usize..)
        .zip(sheet.members.chunks(MEMBERS_BESIDE))
        .map(|(place, members)| Block::Table(parts(place, members, sheet)))
        .collect();
    let says = "Each line is rounded once and divided to the cent, so that the parts add up to it.";
    blocks.push(Block::Paragraph(says.to_owned()));
    Some(Section::new("division", "How it was divided", blocks))
}

fn parts(place: usize, members: &[CrewMember], sheet: &CrewSheet) -> Table {
    let mut heads = vec![Column::words("Line"), Column::words("Work")];
    heads.extend(members.iter().map(|member| Column::figures(&member.payee.name)));
    heads.push(Column::figures("Whole line"));
    let caption = format!("Parts of each line, {}", sheet.total.currency());
    let mut table = Table::new(format!("table-parts-{place}"), caption, heads);
    for line in &sheet.lines {
        let mut cells = vec![Cell::head(line.number), Cell::words(work(line))];
        cells.extend(members.iter().map(|member| {
            let part = member.parts.iter().find(|part| part.line_number == line.number);
            Cell::maybe(part.map(|part| part.amount.amount_text()))
        }));
        cells.push(Cell::figure(line.amount.amount_text()));
        table.row(cells);
    }
    let mut cells = vec![Cell::words(""), Cell::head("In all")];
    cells.extend(members.iter().map(|member| Cell::figure(member.total.amount_text())));
    cells.push(Cell::figure(sheet.total.amount_text()));
    table.total(cells);
    table
}

fn signing(sheet: &CrewSheet) -> Section {
    let names = vec!["For the crew".to_owned(), format!("For {}", sheet.outfit_name)];
    let blocks = vec![Block::Signatures(names), Block::Paragraph(sheet.caution.clone())];
    Section::new("signed", "Signed", blocks)
}
