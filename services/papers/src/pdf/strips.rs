//! What a page is put together from: strips across it, one below the other, and the tree that says what belongs together.

use super::length::Length;
use super::wrapping::Type;

/// Something drawn on a strip, placed from its upper left corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Mark {
    /// A line of text.
    Text { x: Length, baseline: Length, set: Type, text: String, leaf: Option<usize> },
    /// A rule across.
    Rule { x: Length, y: Length, width: Length, weight: Length, grey: u8 },
    /// A drawing, by its place among the paper's.
    Drawing { x: Length, y: Length, width: Length, height: Length, drawing: usize, leaf: usize },
}

/// A strip, which is never torn.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Strip {
    /// How high it is.
    pub(crate) height: Length,
    /// What is on it.
    pub(crate) marks: Vec<Mark>,
    /// Whether it stays on one page with the strip after it.
    pub(crate) clings: bool,
    /// The table it is a part of, whose head stands again above it on a new page.
    pub(crate) table: Option<usize>,
    /// Whether it is that head.
    pub(crate) is_head: bool,
    /// The section that begins with it.
    pub(crate) section: Option<usize>,
}

impl Strip {
    /// Whether it is nothing but room, which a page does not begin with.
    pub(crate) fn is_room(&self) -> bool {
        self.marks.is_empty() && self.section.is_none()
    }
}

/// What a part of the paper is to whoever has it read aloud.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Section,
    Heading(u16, String),
    Paragraph,
    List,
    Item,
    Table,
    Caption,
    Head,
    Body,
    Row,
    ColumnHead,
    RowHead,
    Cell,
    /// A cell over so many columns.
    Wide(u32),
    Figure(String),
}

/// A part of the paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Element {
    pub(crate) kind: Kind,
    pub(crate) children: Vec<Child>,
}

/// What an element holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Child {
    Element(Element),
    Leaf(usize),
}

impl Element {
    /// An element that holds nothing yet.
    pub(crate) const fn new(kind: Kind) -> Self {
        Self { kind, children: Vec::new() }
    }

    /// An element around one leaf.
    pub(crate) fn around(kind: Kind, leaf: usize) -> Self {
        Self { kind, children: vec![Child::Leaf(leaf)] }
    }

    /// Puts another into it.
    pub(crate) fn push(&mut self, other: Self) {
        self.children.push(Child::Element(other));
    }
}

/// A paper cut into strips, before it is divided into pages.
#[derive(Debug, Default)]
pub(crate) struct Strips {
    /// All strips in order.
    pub(crate) strips: Vec<Strip>,
    /// The head of each table.
    pub(crate) heads: Vec<Strip>,
    /// The drawings, as SVG.
    pub(crate) drawings: Vec<String>,
    /// The sections' titles.
    pub(crate) sections: Vec<String>,
    /// What belongs together.
    pub(crate) elements: Vec<Element>,
    /// How many leaves there are.
    pub(crate) leaves: usize,
}

impl Strips {
    /// A new leaf of the tree.
    pub(crate) fn leaf(&mut self) -> usize {
        let leaf = self.leaves;
        self.leaves = leaf.saturating_add(1);
        leaf
    }

    /// Room between what was and what comes.
    pub(crate) fn room(&mut self, points: i64, clings: bool) {
        self.strips.push(Strip { height: Length::points(points), clings, ..Strip::default() });
    }
}
