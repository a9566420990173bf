//! Tables: a caption, headings with their scope, figures on the right; one that is too wide for the page can be moved
//! sideways, with keys too.

use maud::{Markup, html};
use wire::MadeOf;

/// How what a row is made of is shown.
pub type ShowMadeOf<'a> = &'a dyn Fn(&[MadeOf]) -> Markup;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// What the row is about.
    Head(String),
    /// Words.
    Words(String),
    /// Words that lead somewhere.
    Link {
        /// The words.
        says: String,
        /// Where they lead.
        to: String,
        /// Whether the row is about it.
        head: bool,
    },
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
    /// For each row what it is made of; empty where nobody says.
    pub made_of: Vec<Vec<MadeOf>>,
}

impl Table {
    /// A table that has no rows yet.
    #[must_use]
    pub fn new(id: impl Into<String>, caption: impl Into<String>, heads: &[&str]) -> Self {
        let heads = heads.iter().map(|head| (*head).to_owned()).collect();
        Self { id: id.into(), caption: caption.into(), heads, rows: Vec::new(), made_of: Vec::new() }
    }

    /// Adds a row, and what it is made of.
    pub fn add(&mut self, cells: Vec<Cell>, made_of: &[MadeOf]) {
        self.rows.push(cells);
        self.made_of.push(made_of.to_vec());
    }

    /// As it stands on paper.
    #[must_use]
    pub fn shown(&self) -> Markup {
        self.shown_with(None)
    }

    /// With a last column, if there is a way to show what rows are made of and anything to show.
    #[must_use]
    pub fn shown_with(&self, show: Option<ShowMadeOf<'_>>) -> Markup {
        let show = show.filter(|_| self.made_of.iter().any(|made_of| !made_of.is_empty()));
        let made_of = |place: usize| self.made_of.get(place).map_or(&[][..], Vec::as_slice);
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
                            @if show.is_some() { th scope="col" { "Made of" } }
                        }
                    }
                    tbody {
                        @for (place, row) in self.rows.iter().enumerate() {
                            tr {
                                @for cell in row { (shown(cell)) }
                                @if let Some(show) = show { td { (show(made_of(place))) } }
                            }
                        }
                    }
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
        Cell::Link { says, to, head: true } => html! { th scope="row" { a href=(to) { (says) } } },
        Cell::Link { says, to, head: false } => html! { td { a href=(to) { (says) } } },
        Cell::Figure(Some(figure)) => html! { td class="figure" { (figure) } },
        // Read out, a dash alone would be nothing at all.
        Cell::Figure(None) => html! { td class="figure" { abbr title="none" { "–" } } },
    }
}
