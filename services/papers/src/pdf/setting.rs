//! Setting a paper in strips: title, what counts most, what is known, then section after section.

use super::length::Length;
use super::strips::{Element, Kind, Mark, Strip, Strips};
use super::typefaces::{Cut, Typefaces};
use super::wrapping::{Type, wrap};
use crate::paper::{Block, Chart, Fact, Lead, Paper, Section, Standing, Sum};

const TITLE: Type = Type::new(Cut::Bold, 210);
const SUBJECT: Type = Type::new(Cut::Regular, 150);
const WORD: Type = Type::new(Cut::Bold, 180);
const FIGURE: Type = Type::new(Cut::Bold, 300);
const SECTION: Type = Type::new(Cut::Bold, 130);
const HEADING: Type = Type::new(Cut::Bold, 108);
const BODY: Type = Type::new(Cut::Regular, 98);
const STRONG: Type = Type::new(Cut::Bold, 98);
const LABEL: Type = Type::new(Cut::Italic, 88);

/// A heavy rule, for what must not be overlooked.
const HEAVY: Length = Length::thousandths(2_400);
/// The rule above a section and a sum.
const RULE: Length = Length::thousandths(900);
/// Between two columns of facts.
const GUTTER: Length = Length::points(18);
/// How wide a column of sums is.
const SUMS: Length = Length::points(290);
/// How wide a chart is at the most.
const CHART: Length = Length::points(290);
/// How wide a line to sign on is.
const SIGNATURE: Length = Length::points(220);

/// A paper being set.
pub(super) struct Setting<'a> {
    pub(super) faces: &'a Typefaces,
    pub(super) width: Length,
    pub(super) to: Strips,
}

/// The paper in strips of this width.
pub(super) fn set(faces: &Typefaces, paper: &Paper, width: Length) -> Strips {
    let mut setting = Setting { faces, width, to: Strips::default() };
    if let Some(standing) = &paper.standing {
        setting.standing(standing);
    }
    setting.title(paper);
    setting.leads(&paper.leads);
    if !paper.facts.is_empty() {
        let facts = setting.facts(&paper.facts);
        setting.to.elements.extend(facts);
    }
    for section in &paper.sections {
        let element = setting.section(section);
        setting.to.elements.push(element);
    }
    setting.to
}

impl Setting<'_> {
    /// Text in lines, each a strip; answers its leaf. All of it clings to what follows where that is asked for, and
    /// neither its first nor its last line ever stands alone.
    pub(super) fn text(&mut self, set: Type, text: &str, x: Length, width: Length, clings: bool) -> usize {
        let leaf = self.to.leaf();
        self.lines(set, text, (x, width), clings, leaf);
        leaf
    }

    fn lines(&mut self, set: Type, text: &str, (x, width): (Length, Length), clings: bool, leaf: usize) {
        let lines = wrap(self.faces, set, text, width);
        let count = lines.len();
        for (place, text) in lines.into_iter().enumerate() {
            let left = count.saturating_sub(place);
            let mark = Mark::Text { x, baseline: set.size, set, text, leaf: Some(leaf) };
            // The first clings to the second, and the last but one to the last.
            let clings = clings || left > 1 && (place == 0 || left == 2);
            self.to.strips.push(Strip { height: set.leading, marks: vec![mark], clings, ..Strip::default() });
        }
    }

    fn rule(&mut self, weight: Length, clings: bool) {
        let mark = Mark::Rule { x: Length::ZERO, y: Length::ZERO, width: self.width, weight, grey: 0 };
        let height = weight.plus(Length::points(3));
        self.to.strips.push(Strip { height, marks: vec![mark], clings, ..Strip::default() });
    }

    fn standing(&mut self, standing: &Standing) {
        self.rule(HEAVY, true);
        self.to.room(3, true);
        let word = self.text(WORD, &standing.word.to_uppercase(), Length::ZERO, self.width, true);
        let says = self.text(BODY, &standing.says, Length::ZERO, self.width, true);
        self.to.elements.push(Element::around(Kind::Paragraph, word));
        self.to.elements.push(Element::around(Kind::Paragraph, says));
        self.to.room(5, true);
        self.rule(HEAVY, true);
        self.to.room(12, true);
    }

    fn title(&mut self, paper: &Paper) {
        let title = self.text(TITLE, &paper.title, Length::ZERO, self.width, true);
        self.to.elements.push(Element::around(Kind::Heading(1, paper.name()), title));
        if !paper.subject.is_empty() {
            let subject = self.text(SUBJECT, &paper.subject, Length::ZERO, self.width, true);
            self.to.elements.push(Element::around(Kind::Paragraph, subject));
        }
        self.to.room(12, true);
    }

    /// Large figures beside one another, as many as there are.
    fn leads(&mut self, leads: &[Lead]) {
        for lead in leads {
            let name = self.text(STRONG, &lead.name, Length::ZERO, self.width, true);
            let figure = self.text(FIGURE, &lead.figure, Length::ZERO, self.width, true);
            self.to.elements.push(Element::around(Kind::Paragraph, name));
            self.to.elements.push(Element::around(Kind::Paragraph, figure));
            if !lead.says.is_empty() {
                let says = self.text(BODY, &lead.says, Length::ZERO, self.width, true);
                self.to.elements.push(Element::around(Kind::Paragraph, says));
            }
            self.to.room(12, true);
        }
    }

    /// What is known, in two columns: its name in small letters above it.
    fn facts(&mut self, facts: &[Fact]) -> Vec<Element> {
        let half = self.width.minus(GUTTER).share(Length::points(1), Length::points(2));
        let places = [Length::ZERO, half.plus(GUTTER)];
        let mut elements = Vec::new();
        for pair in facts.chunks(places.len()) {
            let mut marks = Vec::new();
            let mut height = Length::ZERO;
            for (fact, x) in pair.iter().zip(places) {
                let mut y = Length::ZERO;
                for (set, text) in [(LABEL, &fact.name), (BODY, &fact.says)] {
                    let leaf = self.to.leaf();
                    elements.push(Element::around(Kind::Paragraph, leaf));
                    for text in wrap(self.faces, set, text, half) {
                        let baseline = y.plus(set.size);
                        marks.push(Mark::Text { x, baseline, set, text, leaf: Some(leaf) });
                        y = y.plus(set.leading);
                    }
                }
                height = height.max(y);
            }
            let height = height.plus(Length::points(5));
            self.to.strips.push(Strip { height, marks, ..Strip::default() });
        }
        self.to.room(4, false);
        elements
    }

    fn section(&mut self, section: &Section) -> Element {
        self.to.room(8, true);
        let number = self.to.sections.len();
        self.to.sections.push(section.title.clone());
        let begins = self.to.strips.len();
        self.rule(RULE, true);
        if let Some(strip) = self.to.strips.get_mut(begins) {
            strip.section = Some(number);
        }
        let leaf = self.text(SECTION, &section.title, Length::ZERO, self.width, true);
        self.to.room(4, true);
        let mut whole = Element::new(Kind::Section);
        whole.push(Element::around(Kind::Heading(2, section.title.clone()), leaf));
        for block in &section.blocks {
            for element in self.block(block) {
                whole.push(element);
            }
        }
        whole
    }

    fn block(&mut self, block: &Block) -> Vec<Element> {
        match block {
            Block::Heading(title) => {
                self.to.room(6, true);
                let leaf = self.text(HEADING, title, Length::ZERO, self.width, true);
                self.to.room(2, true);
                vec![Element::around(Kind::Heading(3, title.clone()), leaf)]
            }
            Block::Paragraph(says) => vec![self.paragraph(says)],
            Block::Warning(bold, says) => {
                let first = self.text(STRONG, bold, Length::ZERO, self.width, true);
                vec![Element::around(Kind::Paragraph, first), self.paragraph(says)]
            }
            Block::Points(points) => vec![self.points(points)],
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => self.table(table),
            Block::Sums(sums) => self.sums(sums),
            Block::Chart(chart) => self.chart(chart),
            Block::Signatures(names) => self.signatures(names),
        }
    }

    /// A paragraph with room after it.
    pub(super) fn paragraph(&mut self, says: &str) -> Element {
        let leaf = self.text(BODY, says, Length::ZERO, self.width, false);
        self.to.room(6, false);
        Element::around(Kind::Paragraph, leaf)
    }

    fn points(&mut self, points: &[String]) -> Element {
        let indent = Length::points(10);
        let mut list = Element::new(Kind::List);
        for point in points {
            let first = self.to.strips.len();
            let leaf = self.text(BODY, point, indent, self.width.minus(indent), false);
            list.push(Element::around(Kind::Item, leaf));
            if let Some(strip) = self.to.strips.get_mut(first) {
                let dash = "–".to_owned();
                let mark =
                    Mark::Text { x: Length::ZERO, baseline: BODY.size, set: BODY, text: dash, leaf: None };
                strip.marks.push(mark);
            }
        }
        self.to.room(6, false);
        list
    }

    /// Amounts below one another, never parted.
    fn sums(&mut self, sums: &[Sum]) -> Vec<Element> {
        let mut elements = Vec::new();
        let width = SUMS.min(self.width);
        for (place, sum) in sums.iter().enumerate() {
            let set = if sum.total { STRONG } else { BODY };
            let leaf = self.to.leaf();
            elements.push(Element::around(Kind::Paragraph, leaf));
            let amount = self.faces.shown(&sum.amount);
            let wide = set.width(self.faces, &amount);
            let room = width.minus(wide).minus(Length::points(10)).max(Length::points(80));
            let top = if sum.total { Length::points(3) } else { Length::ZERO };
            let mut marks = Vec::new();
            if sum.total {
                marks.push(Mark::Rule {
                    x: Length::ZERO,
                    y: Length::points(1),
                    width,
                    weight: RULE,
                    grey: 0,
                });
            }
            let mut y = top;
            for text in wrap(self.faces, set, &sum.name, room) {
                marks.push(Mark::Text {
                    x: Length::ZERO,
                    baseline: y.plus(set.size),
                    set,
                    text,
                    leaf: Some(leaf),
                });
                y = y.plus(set.leading);
            }
            // The amount stands on the last line of its name.
            let baseline = y.minus(set.leading).plus(set.size);
            marks.push(Mark::Text { x: width.minus(wide), baseline, set, text: amount, leaf: Some(leaf) });
            let clings = place.saturating_add(1) < sums.len();
            let height = y.plus(Length::points(1));
            self.to.strips.push(Strip { height, marks, clings, ..Strip::default() });
        }
        self.to.room(9, false);
        elements
    }

    /// The caption, then the drawing, which stays with it.
    fn chart(&mut self, chart: &Chart) -> Vec<Element> {
        let width = CHART.min(self.width);
        let [wide, high] = [chart.width_tenths, chart.height_tenths].map(Length::thousandths);
        let height = width.share(high, wide);
        let title = self.text(STRONG, &chart.title, Length::ZERO, self.width, true);
        let says = self.text(BODY, &chart.says, Length::ZERO, self.width, true);
        let drawing = self.to.drawings.len();
        self.to.drawings.push(chart.svg.clone());
        let leaf = self.to.leaf();
        let y = Length::points(6);
        let mark = Mark::Drawing { x: Length::ZERO, y, width, height, drawing, leaf };
        let height = height.plus(y).plus(Length::points(10));
        self.to.strips.push(Strip { height, marks: vec![mark], ..Strip::default() });
        vec![
            Element::around(Kind::Paragraph, title),
            Element::around(Kind::Paragraph, says),
            Element::around(Kind::Figure(format!("{}. {}", chart.title, chart.says)), leaf),
        ]
    }

    /// Lines to sign on, two beside each other, with room for a hand above them.
    fn signatures(&mut self, names: &[String]) -> Vec<Element> {
        let mut elements = Vec::new();
        for pair in names.chunks(2) {
            let mut marks = Vec::new();
            let mut height = Length::ZERO;
            for (name, x) in pair.iter().zip([Length::ZERO, self.width.minus(SIGNATURE)]) {
                let mut y = Length::points(34);
                marks.push(Mark::Rule { x, y, width: SIGNATURE, weight: RULE, grey: 0 });
                y = y.plus(Length::points(2));
                let leaf = self.to.leaf();
                elements.push(Element::around(Kind::Paragraph, leaf));
                for text in wrap(self.faces, LABEL, name, SIGNATURE) {
                    marks.push(Mark::Text {
                        x,
                        baseline: y.plus(LABEL.size),
                        set: LABEL,
                        text,
                        leaf: Some(leaf),
                    });
                    y = y.plus(LABEL.leading);
                }
                height = height.max(y);
            }
            self.to.strips.push(Strip { height, marks, ..Strip::default() });
        }
        self.to.room(8, false);
        elements
    }
}
