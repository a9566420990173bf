//! Drawing pages: the strips at their places, with the head and the foot of each page and, where a paper does not count,
//! the words through it.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Identifier, SpanTag};
use krilla::text::TextDirection;
use krilla_svg::{SurfaceExt, SvgSettings};

use super::PdfError;
use super::frame::Frame;
use super::length::Length;
use super::paging::Placed;
use super::strips::{Mark, Strips};
use super::typefaces::{Cut, Typefaces};
use super::wrapping::{Type, on_one_line};
use crate::paper::{Paper, Standing};

/// The letters of heads and feet of pages.
const RUNNING: Type = Type::new(Cut::Regular, 82);
/// The letters that go through a page that does not count.
const THROUGH: Type = Type::new(Cut::Bold, 560);
/// A rule's half, to draw it from its middle.
const HAIR: Length = Length::thousandths(300);

/// What drawing needs to know of the whole.
pub(super) struct Drawing<'a> {
    pub(super) faces: &'a Typefaces,
    pub(super) frame: Frame,
    pub(super) paper: &'a Paper,
    pub(super) strips: &'a Strips,
    pub(super) charts: Vec<usvg::Tree>,
    /// What was drawn of each leaf.
    pub(super) drawn: Vec<Vec<Identifier>>,
    /// On which page each section begins, and how far down.
    pub(super) begins: Vec<(usize, usize, Length)>,
}

/// The drawings of a paper, with the letters of the page.
///
/// # Errors
///
/// [`PdfError::Chart`] for one that cannot be read.
pub(super) fn charts(drawings: &[String]) -> Result<Vec<usvg::Tree>, PdfError> {
    if drawings.is_empty() {
        return Ok(Vec::new());
    }
    let mut options = usvg::Options::default();
    let fonts = options.fontdb_mut();
    for data in typst_assets::fonts() {
        // The fonts are in the order of their families; a chart needs the first alone.
        fonts.load_font_data(data.to_vec());
        if fonts.faces().any(|face| face.post_script_name == "LibertinusSerif-Bold") {
            break;
        }
    }
    fonts.set_sans_serif_family("Libertinus Serif");
    let read = |svg: &String| {
        usvg::Tree::from_str(svg, &options).map_err(|error| PdfError::Chart(error.to_string()))
    };
    drawings.iter().map(read).collect()
}

impl Drawing<'_> {
    /// Draws one page.
    pub(super) fn page(
        &mut self,
        document: &mut Document,
        number: usize,
        count: usize,
        strips: &[Placed<'_>],
    ) -> Result<(), PdfError> {
        let (wide, high) = (self.frame.width.number(), self.frame.height.number());
        let settings = PageSettings::from_wh(wide, high).ok_or(PdfError::Size)?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        if let Some(standing) = self.paper.standing.as_ref().filter(|standing| standing.struck) {
            self.through(&mut surface, standing);
        }
        self.running(&mut surface, number, count);
        for placed in strips {
            let top = self.frame.top.plus(placed.y);
            if let Some(section) = placed.strip.section.filter(|_| !placed.again) {
                self.begins.push((section, number.saturating_sub(1), top));
            }
            for mark in &placed.strip.marks {
                self.mark(&mut surface, mark, top);
            }
        }
        surface.finish();
        page.finish();
        Ok(())
    }

    fn mark(&mut self, surface: &mut Surface<'_>, mark: &Mark, top: Length) {
        let left = self.frame.side;
        match mark {
            Mark::Text { x, baseline, set, text, leaf } => {
                let tag = match leaf {
                    Some(_) => ContentTag::Span(SpanTag::empty()),
                    None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther)),
                };
                let drawn = surface.start_tagged(tag);
                // A blank after each line, so that words of two lines are not read as one.
                self.write(surface, *set, (left.plus(*x), top.plus(*baseline)), &format!("{text} "));
                surface.end_tagged();
                if let Some(drawn_of) = leaf.and_then(|leaf| self.drawn.get_mut(leaf)) {
                    drawn_of.push(drawn);
                }
            }
            Mark::Rule { x, y, width, weight, grey } => {
                surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
                let from = (left.plus(*x), top.plus(*y));
                line(surface, from, (from.0.plus(*width), from.1), *weight, luma::Color::new(*grey));
                surface.end_tagged();
            }
            Mark::Drawing { x, y, width, height, drawing, leaf } => {
                let size = Size::from_wh(width.number(), height.number());
                let (Some(tree), Some(size)) = (self.charts.get(*drawing), size) else { return };
                let drawn = surface.start_tagged(ContentTag::Other);
                let (x, y) = (left.plus(*x).number(), top.plus(*y).number());
                surface.push_transform(&Transform::from_translate(x, y));
                let _ = surface.draw_svg(tree, size, SvgSettings::default());
                surface.pop();
                surface.end_tagged();
                if let Some(drawn_of) = self.drawn.get_mut(*leaf) {
                    drawn_of.push(drawn);
                }
            }
        }
    }

    fn write(&self, surface: &mut Surface<'_>, set: Type, (x, y): (Length, Length), text: &str) {
        let at = Point::from_xy(x.number(), y.number());
        let (font, size) = (self.faces.font(set.cut), set.size.number());
        surface.draw_text(at, font, size, text, false, TextDirection::LeftToRight);
    }

    /// The outfit and the paper's name at the head, what it is about and which page it is at the foot.
    fn running(&self, surface: &mut Surface<'_>, number: usize, count: usize) {
        let frame = self.frame;
        let half = frame.body_width().share(Length::points(48), Length::points(100));
        let one_line = |text: &str, width: Length| on_one_line(self.faces, RUNNING, text, width);
        let right = |text: &str| frame.width.minus(frame.side).minus(RUNNING.width(self.faces, text));
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Header)));
        let baseline = frame.top.minus(Length::points(20));
        let name = one_line(&self.paper.name(), half);
        self.write(surface, RUNNING, (frame.side, baseline), &one_line(&self.paper.outfit, half));
        self.write(surface, RUNNING, (right(&name), baseline), &name);
        let y = baseline.plus(Length::points(5));
        line(surface, (frame.side, y), (frame.width.minus(frame.side), y), HAIR, luma::Color::black());
        surface.end_tagged();
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Footer)));
        let baseline = frame.height.minus(frame.foot).plus(Length::points(24));
        let pages = format!("Page {number} of {count}");
        let span = match self.paper.standing.as_ref() {
            Some(standing) => format!("{}. {}", standing.word.to_uppercase(), self.paper.span),
            None => self.paper.span.clone(),
        };
        let three_quarters = frame.body_width().share(Length::points(3), Length::points(4));
        self.write(surface, RUNNING, (frame.side, baseline), &one_line(&span, three_quarters));
        self.write(surface, RUNNING, (right(&pages), baseline), &pages);
        surface.end_tagged();
    }

    /// Two lines across the page with the word between them, as one crosses a paper that is not to count. It lies below the
    /// figures, which stay readable.
    fn through(&self, surface: &mut Surface<'_>, standing: &Standing) {
        let frame = self.frame;
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Watermark)));
        let grey = luma::Color::new(150);
        let (low, high) = (frame.height.minus(frame.foot), frame.top);
        let (left, right) = (frame.side, frame.width.minus(frame.side));
        let apart = Length::points(64);
        let weight = Length::thousandths(1_200);
        line(surface, (left, low.minus(apart)), (right.minus(apart), high), weight, grey);
        line(surface, (left.plus(apart), low), (right, high.plus(apart)), weight, grey);
        let word = self.faces.shown(&standing.word.to_uppercase());
        let (x, y) = (frame.middle_x().number(), frame.middle_y().number());
        surface.push_transform(&Transform::from_rotate_at(-52.0, x, y));
        surface.set_fill(Some(Fill { paint: luma::Color::new(215).into(), ..Fill::default() }));
        let wide = THROUGH.width(self.faces, &word).share(Length::points(1), Length::points(2));
        let baseline = frame.middle_y().plus(Length::points(19));
        self.write(surface, THROUGH, (frame.middle_x().minus(wide), baseline), &word);
        surface.set_fill(Some(Fill { rule: FillRule::default(), ..Fill::default() }));
        surface.pop();
        surface.end_tagged();
    }
}

fn line(
    surface: &mut Surface<'_>,
    from: (Length, Length),
    to: (Length, Length),
    weight: Length,
    colour: luma::Color,
) {
    let mut path = PathBuilder::new();
    path.move_to(from.0.number(), from.1.number());
    path.line_to(to.0.number(), to.1.number());
    let Some(path) = path.finish() else { return };
    let stroke = Stroke {
        paint: colour.into(),
        width: weight.number(),
        opacity: NormalizedF32::ONE,
        ..Stroke::default()
    };
    surface.set_fill(None);
    surface.set_stroke(Some(stroke));
    surface.draw_path(&path);
    surface.set_stroke(None);
    surface.set_fill(Some(Fill::default()));
}
