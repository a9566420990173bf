//! What holds for whatever stands on a paper: nothing beyond the margins, every row once and in order, and no document that
//! the library refuses.

use proptest::prelude::*;

use super::frame::Frame;
use super::length::Length;
use super::paging::pages;
use super::setting::set;
use super::strips::{Mark, Strips};
use super::typefaces::Typefaces;
use crate::{Block, Cell, Column, Fact, Lead, Paper, PaperSize, Section, Standing, Sum, Table};

/// Names as people have them, and as nobody should.
fn name() -> impl Strategy<Value = String> {
    prop_oneof![
        "[A-Za-zÅåØøŁłéñ' -]{0,40}",
        "[A-Za-z]{30,120}",
        "[a-z]{1,9}(-[a-z]{1,60}){0,4}",
        any::<String>().prop_map(|text| text.chars().take(80).collect()),
        Just("0197a000-0000-7000-8000-000000000001".to_owned()),
    ]
}

fn figure() -> impl Strategy<Value = String> {
    prop_oneof!["-?[0-9]{1,7}(\\.[0-9]{1,6})?", "[0-9]{20,40}"]
}

fn rows() -> impl Strategy<Value = Vec<(String, String, String, Vec<String>)>> {
    prop::collection::vec((name(), figure(), name(), prop::collection::vec(name(), 0..3)), 0..40)
}

fn paper(title: &str, rows: &[(String, String, String, Vec<String>)]) -> Paper {
    let mut paper = Paper::new("Pay statement", title, title);
    paper.span = title.to_owned();
    paper.standing = Some(Standing { word: "Void".to_owned(), says: title.to_owned(), struck: true });
    paper.leads =
        vec![Lead { name: title.to_owned(), figure: "12.00 USD".to_owned(), says: title.to_owned() }];
    paper.facts = vec![Fact::new(title, title), Fact::new("Week", title), Fact::new("Ticket", title)];
    let heads =
        [Column::words("Line"), Column::words("Work"), Column::figures("Quantity"), Column::words("Unit")];
    let mut table = Table::new("table", title, heads);
    for (number, (work, quantity, unit, remarks)) in (1..).zip(rows) {
        table.row([Cell::head(number), Cell::words(work), Cell::figure(quantity), Cell::words(unit)]);
        for remark in remarks {
            table.remark(remark);
        }
    }
    table.total([Cell::words(""), Cell::head("In all"), Cell::figure(1), Cell::words("")]);
    let blocks = vec![
        Block::Heading(title.to_owned()),
        Block::Table(table),
        Block::Sums(vec![Sum::part(title, "1.00 USD"), Sum::total("Carried down", "1.00 USD")]),
        Block::Points(vec![title.to_owned()]),
        Block::Signatures(vec![title.to_owned(), "For the crew".to_owned()]),
    ];
    paper.sections = vec![Section::new("lines", title, blocks)];
    paper
}

/// Texts by leaf, blanks left out: a word that is wider than its column is broken, and nothing is added to it.
fn by_leaf(strips: &Strips) -> Vec<String> {
    let mut texts = vec![String::new(); strips.leaves];
    for mark in strips.strips.iter().flat_map(|strip| &strip.marks) {
        if let Mark::Text { text, leaf: Some(leaf), .. } = mark {
            texts[*leaf].extend(text.chars().filter(|letter| *letter != ' '));
        }
    }
    texts
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn nothing_is_beyond_the_margins_and_every_row_is_there_once(title in name(), rows in rows()) {
        let faces = Typefaces::open().unwrap();
        for size in [PaperSize::Letter, PaperSize::A4] {
            let frame = Frame::of(size);
            let paper = paper(&title, &rows);
            let strips = set(&faces, &paper, frame.body_width());
            // A blank between words may be drawn nearer by a hair than it was measured, never a letter's width.
            let hair = Length::points(2);
            for mark in strips.strips.iter().flat_map(|strip| &strip.marks) {
                match mark {
                    Mark::Text { x, set, text, .. } => {
                        prop_assert!(*x >= Length::ZERO, "{text} begins left of the margin");
                        let end = x.plus(set.width(&faces, text));
                        prop_assert!(end <= frame.body_width().plus(hair), "{text} ends at {end:?}");
                    }
                    Mark::Rule { x, width, .. } | Mark::Drawing { x, width, .. } => {
                        prop_assert!(x.plus(*width) <= frame.body_width());
                    }
                }
            }
            let set_rows: Vec<String> = by_leaf(&strips);
            let expected = |text: &str| faces.shown(text).replace(' ', "");
            let mut found = set_rows.iter();
            for (number, (work, quantity, unit, remarks)) in (1..).zip(&rows) {
                for text in [&number.to_string(), work, quantity, unit].into_iter().chain(remarks.iter().filter(|one| !one.is_empty())) {
                    let text = expected(text);
                    prop_assert!(found.any(|one| *one == text), "{text} is not there in its order");
                }
            }
            let placed = pages(&strips.strips, &strips.heads, frame.body_height());
            let mut again = 0;
            for page in &placed {
                for one in page {
                    again += usize::from(one.again);
                    prop_assert!(one.y.plus(one.strip.height) <= frame.body_height());
                }
            }
            let set_once = placed.iter().flatten().filter(|one| !one.again && !one.strip.is_room()).count();
            prop_assert_eq!(set_once, strips.strips.iter().filter(|strip| !strip.is_room()).count());
            prop_assert!(again < placed.len());
        }
    }

    #[test]
    fn whatever_is_written_on_it_a_paper_can_be_set(title in name(), rows in rows()) {
        let document = super::pdf(&paper(&title, &rows), PaperSize::Letter);
        prop_assert!(document.is_ok(), "{:?}", document.err());
    }
}
