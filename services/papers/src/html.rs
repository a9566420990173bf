//! A paper as one page of HTML, to read and to print: no script, no network, nothing from outside. All text goes through
//! the templates, which escape it; the style and the charts, which are made here, are put in as they stand.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use crate::paper::{Block, Chart, Fact, Paper, Section, Standing, Sum};
use crate::table::{Cell, Kind, Row, Table};

/// What a browser may do with the page: apply the style that stands in it, and nothing else.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; \
form-action 'none'; frame-ancestors 'none'";

const STYLE: &str = include_str!("html/style.css");

/// As many letters as stand in one piece, where a row is about a day or a number.
const SHORT: usize = 10;
/// As many sections as need a list of what is where.
const MANY: usize = 6;

/// The paper as a page.
///
/// ```
/// use papers::Paper;
/// let page = papers::html(&Paper::new("Pay statement", "<Asa>", "Upper fork outfit"));
/// assert!(page.starts_with("<!DOCTYPE html>") && page.contains("&lt;Asa&gt;"));
/// ```
#[must_use]
pub fn html(paper: &Paper) -> String {
    let title = format!("{}, {}", paper.name(), paper.outfit);
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body class=[paper.standing.as_ref().filter(|one| one.struck).map(|_| "struck")] {
                @if let Some(standing) = &paper.standing { (through(standing)) }
                header {
                    p class="outfit" { (paper.outfit) }
                    @if let Some(standing) = &paper.standing { (notice(standing)) }
                    h1 { (paper.title) @if !paper.subject.is_empty() { " " span { (paper.subject) } } }
                    @for lead in &paper.leads {
                        div class="lead" {
                            p class="name" { (lead.name) }
                            p class="figure" { (lead.figure) }
                            @if !lead.says.is_empty() { p { (lead.says) } }
                        }
                    }
                    (facts(&paper.facts))
                    @if paper.sections.len() >= MANY {
                        nav aria-label="Sections" {
                            ul { @for one in &paper.sections { li { a href={ "#" (one.id) } { (one.title) } } } }
                        }
                    }
                }
                main { @for one in &paper.sections { (section(one)) } }
            }
        }
    };
    page.into_string()
}

/// The lines and the word through a paper that counts no more, below its figures.
fn through(standing: &Standing) -> Markup {
    markup! { @if standing.struck { p class="through" aria-hidden="true" { span { (standing.word) } } } }
}

fn notice(standing: &Standing) -> Markup {
    markup! { p class="standing" { strong { (standing.word) } " " span { (standing.says) } } }
}

fn facts(facts: &[Fact]) -> Markup {
    markup! {
        @if !facts.is_empty() {
            dl class="facts" { @for one in facts { div { dt { (one.name) } dd { (one.says) } } } }
        }
    }
}

fn section(section: &Section) -> Markup {
    markup! {
        section id=(section.id) aria-labelledby={ (section.id) "-heading" } {
            h2 id={ (section.id) "-heading" } { (section.title) }
            @for (number, one) in section.blocks.iter().enumerate() { (block(section, number, one)) }
        }
    }
}

fn block(section: &Section, number: usize, block: &Block) -> Markup {
    match block {
        Block::Heading(title) => markup! { h3 { (title) } },
        Block::Paragraph(says) => markup! { p { (says) } },
        Block::Warning(bold, says) => markup! { p { strong { (bold) } " " (says) } },
        Block::Points(points) => markup! { ul class="points" { @for one in points { li { (one) } } } },
        Block::Facts(known) => facts(known),
        Block::Table(table) => self::table(table),
        Block::Sums(sums) => self::sums(sums),
        Block::Chart(chart) => self::chart(chart),
        Block::Signatures(names) => markup! {
            ul class="signatures" id={ (section.id) "-" (number) } { @for name in names { li { (name) } } }
        },
    }
}

fn sums(sums: &[Sum]) -> Markup {
    markup! {
        dl class="sums" {
            @for one in sums {
                div class=[one.total.then_some("total")] { dt { (one.name) } dd { (one.amount) } }
            }
        }
    }
}

/// A chart below its caption.
fn chart(chart: &Chart) -> Markup {
    markup! {
        figure {
            figcaption { strong { (chart.title) "." } " " (chart.says) }
            (PreEscaped(&chart.svg))
        }
    }
}

/// A table: a caption, headings with their scope, figures on the right; one that is too wide for a screen can be moved
/// sideways, with keys too. A row and what is said below it are one body, which is not torn.
fn table(table: &Table) -> Markup {
    if table.rows.is_empty() {
        return markup! { p { (table.empty) } };
    }
    let caption = format!("{}-caption", table.id);
    let is_figure = |place: usize| table.columns.get(place).is_some_and(|column| column.kind == Kind::Figures);
    let figure = |place: usize| is_figure(place).then_some("figure");
    markup! {
        div class="wide" role="region" aria-labelledby=(caption) tabindex="0" {
            table id=(table.id) {
                caption id=(caption) { (table.caption) }
                thead {
                    tr {
                        @for (place, column) in table.columns.iter().enumerate() {
                            th scope="col" class=[figure(place)] { (column.head) }
                        }
                    }
                }
                @for row in &table.rows { (self::row(row, &figure)) }
            }
        }
    }
}

fn row(row: &Row, figure: &dyn Fn(usize) -> Option<&'static str>) -> Markup {
    markup! {
        tbody class=[row.total.then_some("total")] {
            tr { @for (place, one) in row.cells.iter().enumerate() { (cell(one, figure(place))) } }
            @for remark in &row.remarks {
                tr class="remark" { td colspan=(row.cells.len()) { (remark) } }
            }
        }
    }
}

fn cell(cell: &Cell, figure: Option<&str>) -> Markup {
    match cell {
        // A date is not to be broken, a long name may be.
        Cell::Head(says) => {
            let short = (says.chars().count() <= SHORT).then_some("short");
            markup! { th scope="row" class=[figure.or(short)] { (says) } }
        }
        Cell::Words(says) => markup! { td class=[figure] { (says) } },
        Cell::Figure(Some(says)) => markup! { td class="figure" { (says) } },
        // Read out, a dash alone would be nothing at all.
        Cell::Figure(None) => markup! { td class="figure" { abbr title="none" { (crate::table::NONE) } } },
    }
}
