//! Tables: a caption, headings with their scope, figures on the right; one that is too wide for the page can be moved
//! sideways, with keys too.

use maud::{Markup, html};

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// What the row is about.
    Head(String),
    /// Words.
    Words(String),
    /// A figure, as it stands in the report; none where there is no such figure.
    Figure(Option<String>),
}

impl Cell {
    /// A figure that is there.
    #[must_use]
    pub fn figure(figure: impl ToString) -> Self {
        Self::Figure(Some(figure.to_string()))
    }

    /// A figure that may be there.
    #[must_use]
    pub fn maybe(figure: Option<impl ToString>) -> Self {
        Self::Figure(figure.map(|figure| figure.to_string()))
    }
}

/// A table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Its place in the page's address.
    pub id: String,
    /// What it holds.
    pub caption: String,
    /// The headings, of words and of figures as the cells below.
    pub heads: Vec<String>,
    /// The rows, each with a cell below every heading.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table that has no rows yet.
    #[must_use]
    pub fn new(id: impl Into<String>, caption: impl Into<String>, heads: &[&str]) -> Self {
        let heads = heads.iter().map(|head| (*head).to_owned()).collect();
        Self { id: id.into(), caption: caption.into(), heads, rows: Vec::new() }
    }

    /// As it stands on the page.
    #[must_use]
    pub fn shown(&self) -> Markup {
        if self.rows.is_empty() {
            return html! { p { (self.caption) ": none in these weeks." } };
        }
        let caption = format!("{}-caption", self.id);
        let first = self.rows.first();
        let is_figure = |place: usize| matches!(first.and_then(|row| row.get(place)), Some(Cell::Figure(_)));
        html! {
            div class="wide" role="region" aria-labelledby=(caption) tabindex="0" {
                table id=(self.id) {
                    caption id=(caption) { (self.caption) }
                    thead {
                        tr {
                            @for (place, head) in self.heads.iter().enumerate() {
                                th scope="col" class=[is_figure(place).then_some("figure")] { (head) }
                            }
                        }
                    }
                    tbody { @for row in &self.rows { tr { @for cell in row { (shown(cell)) } } } }
                }
            }
        }
    }
}

fn shown(cell: &Cell) -> Markup {
    match cell {
        // A date is not to be broken, a long name may be.
        Cell::Head(says) => {
            html! { th scope="row" class=[(says.chars().count() <= 10).then_some("short")] { (says) } }
        }
        Cell::Words(says) => html! { td { (says) } },
        Cell::Figure(Some(figure)) => html! { td class="figure" { (figure) } },
        // Read out, a dash alone would be nothing at all.
        Cell::Figure(None) => html! { td class="figure" { abbr title="none" { "–" } } },
    }
}
