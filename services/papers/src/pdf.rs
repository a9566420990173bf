//! A paper as PDF: pages with selectable text, fonts embedded, tagged for screen readers (PDF/UA-1, ISO 14289-1), and the
//! same bytes for the same paper.
//!
//! [`pdf`] is the way through it: the paper is set in strips ([`setting`], [`tables`]), the strips are divided into pages
//! ([`paging`]), the pages are drawn ([`drawing`]). Everything is laid out in whole thousandths of a point ([`length`]).

mod columns;
mod drawing;
mod frame;
#[cfg(test)]
mod laws;
mod length;
mod paging;
mod setting;
mod strips;
mod tables;
mod tags;
mod typefaces;
mod wrapping;

use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::{Document, SerializeSettings};
use wire::PaperSize;

use crate::paper::Paper;
use drawing::Drawing;
use frame::Frame;
use typefaces::Typefaces;

/// Why a paper could not be set.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// A font that is built in is not there.
    #[error("the font {0} is not among those that are built in")]
    Font(String),
    /// A chart cannot be read.
    #[error("a chart cannot be drawn: {0}")]
    Chart(String),
    /// A page has no size.
    #[error("a page has no size")]
    Size,
    /// The library refused to write it.
    #[error("the document cannot be written: {0}")]
    Writing(String),
}

/// The paper as a PDF document.
///
/// # Errors
///
/// [`PdfError`]; never for what stands on the paper: text that the font cannot show is spelled by its numbers in Unicode.
///
/// ```
/// use papers::{Paper, PaperSize};
/// let paper = Paper::new("Pay statement", "Asa Thornby", "Upper fork outfit");
/// let document = papers::pdf(&paper, PaperSize::Letter)?;
/// assert!(document.starts_with(b"%PDF-1.7"));
/// assert_eq!(document, papers::pdf(&paper, PaperSize::Letter)?);
/// # Ok::<(), papers::PdfError>(())
/// ```
pub fn pdf(paper: &Paper, size: PaperSize) -> Result<Vec<u8>, PdfError> {
    let faces = Typefaces::open()?;
    let frame = Frame::of(size);
    let strips = setting::set(&faces, paper, frame.body_width());
    let pages = paging::pages(&strips.strips, &strips.heads, frame.body_height());
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| PdfError::Writing(format!("{error:?}")))?;
    let mut document =
        Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let mut drawing = Drawing {
        faces: &faces,
        frame,
        paper,
        strips: &strips,
        charts: drawing::charts(&strips.drawings)?,
        drawn: vec![Vec::new(); strips.leaves],
        begins: Vec::new(),
    };
    for (number, page) in (1..).zip(&pages) {
        drawing.page(&mut document, number, pages.len(), page)?;
    }
    document.set_tag_tree(tags::tree(&strips.elements, &drawing.drawn));
    document.set_outline(outline(&drawing));
    document.set_metadata(
        Metadata::new()
            .title(paper.name())
            .authors(vec![paper.outfit.clone()])
            .creator("Skidway".to_owned())
            .language("en".to_owned()),
    );
    document.finish().map_err(|error| PdfError::Writing(format!("{error:?}")))
}

/// The sections, for a reader's list of contents; the paper itself where it has none.
fn outline(drawing: &Drawing<'_>) -> Outline {
    let mut outline = Outline::new();
    let at = |page: usize, y: length::Length| {
        XyzDestination::new(page, Point::from_xy(drawing.frame.side.number(), y.number()))
    };
    if drawing.begins.is_empty() {
        outline.push_child(OutlineNode::new(drawing.paper.name(), at(0, drawing.frame.top)));
    }
    for (section, page, y) in &drawing.begins {
        let title = drawing.strips.sections.get(*section).cloned().unwrap_or_default();
        outline.push_child(OutlineNode::new(title, at(*page, *y)));
    }
    outline
}
