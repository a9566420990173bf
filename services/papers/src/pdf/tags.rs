//! The tree that a screen reader goes by: what is a heading, a table, a cell, made from the same strips as the pages.

use std::num::{NonZeroU16, NonZeroU32};

use krilla::tagging::{Identifier, ListNumbering, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};

use super::strips::{Child, Element, Kind};

/// The tree; each leaf stands for what was drawn of it, on however many lines.
pub(crate) fn tree(elements: &[Element], drawn: &[Vec<Identifier>]) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    for element in elements {
        tree.push(group(element, drawn));
    }
    tree
}

fn group(element: &Element, drawn: &[Vec<Identifier>]) -> TagGroup {
    let mut group = TagGroup::new(tag(&element.kind));
    for child in &element.children {
        match child {
            Child::Element(element) => group.push(self::group(element, drawn)),
            Child::Leaf(leaf) => {
                for one in drawn.get(*leaf).into_iter().flatten() {
                    group.push(*one);
                }
            }
        }
    }
    if element.kind == Kind::Item {
        // What an item says is its body.
        let body = TagGroup { tag: Tag::LBody.into(), children: std::mem::take(&mut group.children) };
        group.push(body);
    }
    group
}

fn tag(kind: &Kind) -> TagKind {
    match kind {
        Kind::Section => Tag::Section.into(),
        Kind::Heading(level, title) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            // A heading must have a title, be it that of somebody without a name.
            let title = if title.is_empty() { crate::table::NONE } else { title };
            Tag::Hn(level, Some(title.to_owned())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::None).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Table => Tag::Table.into(),
        Kind::Caption => Tag::Caption.into(),
        Kind::Head => Tag::THead.into(),
        Kind::Body => Tag::TBody.into(),
        Kind::Row => Tag::TR.into(),
        Kind::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Kind::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Wide(columns) => Tag::TD.with_col_span(NonZeroU32::new(*columns)).into(),
        Kind::Figure(says) => Tag::Figure(Some(says.clone())).into(),
    }
}
