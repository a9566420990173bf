//! A table as strips: its caption and head stay with the first row, a row with what is said below it, the last sum with
//! the row above it.

use super::columns::{Columns, columns};
use super::length::Length;
use super::setting::Setting;
use super::strips::{Child, Element, Kind, Mark, Strip};
use super::typefaces::Cut;
use super::wrapping::{Type, wrap};
use crate::table::{Cell, Kind as Holds, Row, Table};

/// Above and below the text of a row.
const PAD: Length = Length::thousandths(2_200);
/// How far what is said below a row stands in.
const INDENT: Length = Length::points(12);
/// The rule below the head, and around a sum.
const RULE: Length = Length::thousandths(900);
/// The rule below a row.
const HAIR: Length = Length::thousandths(250);
/// The letters of a caption.
const CAPTION: Type = Type::new(Cut::Bold, 94);

/// A cell's text in lines, with where it stands.
struct Laid {
    lines: Vec<String>,
    x: Length,
    width: Length,
    right: bool,
    leaf: usize,
}

impl Setting<'_> {
    /// Sets a table; where it has no rows, what it says instead.
    pub(super) fn table(&mut self, table: &Table) -> Vec<Element> {
        if table.rows.is_empty() {
            return vec![self.paragraph(&table.empty)];
        }
        let columns = columns(self.faces, table, self.width);
        let mut whole = Element::new(Kind::Table);
        if !table.caption.is_empty() {
            let leaf = self.text(CAPTION, &table.caption, Length::ZERO, self.width, true);
            whole.push(Element::around(Kind::Caption, leaf));
            self.to.room(2, true);
        }
        let (head, element) = self.table_head(table, &columns);
        whole.push(element);
        let number = self.to.heads.len();
        let head = Strip { table: Some(number), is_head: true, clings: true, ..head };
        self.to.heads.push(again(&head));
        self.to.strips.push(head);
        let mut body = Element::new(Kind::Body);
        for (place, row) in table.rows.iter().enumerate() {
            // No row stands alone below its head or at the top of the last page; a sum stays with what it adds up.
            let left = table.rows.len().saturating_sub(place);
            let sum_follows = table.rows.get(place.saturating_add(1)).is_some_and(|next| next.total);
            let clings = left > 1 && (place == 0 || left == 2) || left > 1 && sum_follows;
            self.row(row, table, &columns, number, clings, &mut body);
        }
        whole.push(body);
        self.to.room(10, false);
        vec![whole]
    }

    fn table_head(&mut self, table: &Table, columns: &Columns) -> (Strip, Element) {
        let mut row = Element::new(Kind::Row);
        let mut laid = Vec::new();
        for (column, (x, width)) in table.columns.iter().zip(&columns.places) {
            let leaf = self.to.leaf();
            row.push(Element::around(Kind::ColumnHead, leaf));
            laid.push(Laid {
                lines: wrap(self.faces, columns.heads, &column.head, *width),
                x: *x,
                width: *width,
                right: column.kind == Holds::Figures,
                leaf,
            });
        }
        let lines = laid.iter().map(|one| one.lines.len()).max().unwrap_or(1);
        let height = columns.heads.leading.times(lines).plus(PAD);
        let mut marks = Vec::new();
        for one in &laid {
            // Short headings stand on the rule, beside the last line of the long ones.
            let first = lines.saturating_sub(one.lines.len());
            for (line, text) in one.lines.iter().enumerate() {
                let top = columns.heads.leading.times(first.saturating_add(line));
                marks.push(self.line(columns.heads, text, one, top));
            }
        }
        marks.push(Mark::Rule { x: Length::ZERO, y: height, width: self.width, weight: RULE, grey: 0 });
        let mut head = Element::new(Kind::Head);
        head.push(row);
        (Strip { height: height.plus(PAD), marks, ..Strip::default() }, head)
    }

    /// A line of a cell, from the top of its strip.
    fn line(&self, set: Type, text: &str, cell: &Laid, top: Length) -> Mark {
        let x = match cell.right {
            true => cell.x.plus(cell.width.minus(set.width(self.faces, text))),
            false => cell.x,
        };
        Mark::Text { x, baseline: top.plus(set.size), set, text: text.to_owned(), leaf: Some(cell.leaf) }
    }

    /// A row: a strip for each of its lines and of its remarks' lines, all clinging together, so that a row that is
    /// higher than a page can be set too.
    fn row(
        &mut self,
        row: &Row,
        table: &Table,
        columns: &Columns,
        number: usize,
        clings: bool,
        body: &mut Element,
    ) {
        let set = match row.total {
            true => Type { cut: Cut::Bold, ..columns.cells },
            false => columns.cells,
        };
        let mut element = Element::new(Kind::Row);
        let mut laid = Vec::new();
        for ((cell, column), (x, width)) in row.cells.iter().zip(&table.columns).zip(&columns.places) {
            let leaf = self.to.leaf();
            let kind = if matches!(cell, Cell::Head(_)) { Kind::RowHead } else { Kind::Cell };
            element.push(Element::around(kind, leaf));
            let lines = wrap(self.faces, set, cell.text(), *width);
            laid.push(Laid { lines, x: *x, width: *width, right: column.kind == Holds::Figures, leaf });
        }
        body.push(element);
        let first = self.to.strips.len();
        let part = Strip { clings: true, table: Some(number), ..Strip::default() };
        let count = laid.iter().map(|one| one.lines.len()).max().unwrap_or(0);
        for line in 0..count {
            let mut marks: Vec<_> = laid
                .iter()
                .filter_map(|one| one.lines.get(line).map(|text| self.line(set, text, one, PAD)))
                .collect();
            if row.total && line == 0 {
                marks.push(Mark::Rule {
                    x: Length::ZERO,
                    y: Length::ZERO,
                    width: self.width,
                    weight: RULE,
                    grey: 0,
                });
            }
            // Lines of one cell stand closer than rows do.
            let height = set.leading.plus(if line.saturating_add(1) == count { PAD } else { Length::ZERO });
            self.to.strips.push(Strip { height, marks, ..part.clone() });
        }
        self.remarks(row, columns, &part, body);
        let adds = Strip { clings, table: Some(number), height: PAD, ..Strip::default() };
        let rule = Mark::Rule { x: Length::ZERO, y: PAD, width: self.width, weight: HAIR, grey: 130 };
        if self.to.strips.len() > first {
            self.to.strips.push(Strip { marks: vec![rule], ..adds });
        }
    }

    fn remarks(&mut self, row: &Row, columns: &Columns, part: &Strip, body: &mut Element) {
        let set = Type { cut: Cut::Italic, ..columns.cells };
        let width = self.width.minus(INDENT);
        let span = u32::try_from(row.cells.len()).unwrap_or(1).max(1);
        for remark in &row.remarks {
            let leaf = self.to.leaf();
            let mut element = Element::new(Kind::Row);
            element.children.push(Child::Element(Element::around(Kind::Wide(span), leaf)));
            body.push(element);
            for text in wrap(self.faces, set, remark, width) {
                let mark = Mark::Text { x: INDENT, baseline: set.size, set, text, leaf: Some(leaf) };
                self.to.strips.push(Strip { height: set.leading, marks: vec![mark], ..part.clone() });
            }
        }
    }
}

/// A head for another page, where it has been read already.
fn again(head: &Strip) -> Strip {
    let mut again = head.clone();
    for mark in &mut again.marks {
        if let Mark::Text { leaf, .. } = mark {
            *leaf = None;
        }
    }
    again
}
