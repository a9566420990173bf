//! What all charts are drawn with: lengths, the frame with its title, the hatching, texts that fit.

use std::fmt;

use maud::{Markup, Render, html};

use crate::paper::Chart;

/// How wide every chart is, in its own units.
pub const WIDTH: Tenths = Tenths(4200);
/// The size of its letters.
pub const LETTERS: Tenths = Tenths(120);

/// A length in tenths of a unit.
///
/// ```
/// use papers::charts::drawing::Tenths;
/// assert_eq!(Tenths(125).to_string(), "12.5");
/// assert_eq!(Tenths(-5).to_string(), "-0.5");
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tenths(pub i64);

impl Tenths {
    /// One length and another.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// One length less another.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// Half of it, cut to a tenth.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0 / 2)
    }
}

impl fmt::Display for Tenths {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, tenth) = (self.0.unsigned_abs() / 10, self.0.unsigned_abs() % 10);
        match tenth {
            0 => write!(formatter, "{sign}{whole}"),
            tenth => write!(formatter, "{sign}{whole}.{tenth}"),
        }
    }
}

impl Render for Tenths {
    fn render_to(&self, buffer: &mut String) {
        buffer.push_str(&self.to_string());
    }
}

/// What a chart says of itself to whoever cannot see it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// Tells its parts from those of the page's other charts.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// What is to be seen in it, in words.
    pub says: String,
}

/// A chart of this height around what was drawn.
#[must_use]
pub fn frame(heading: &Heading, height: Tenths, drawn: &Markup) -> Chart {
    let (title, says) = (format!("{}-title", heading.id), format!("{}-says", heading.id));
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby={ (title) " " (says) }
            viewBox={ "0 0 " (WIDTH) " " (height) } font-family="sans-serif" font-size=(LETTERS) fill="#000" {
            title id=(title) { (heading.title) }
            desc id=(says) { (heading.says) }
            defs {
                // Lines from corner to corner, and their ends in the next tile's corners, so that they meet.
                pattern id={ (heading.id) "-hatch" } width="5" height="5" patternUnits="userSpaceOnUse" {
                    rect width="5" height="5" fill="#fff" {}
                    path d="M-1 1 L1 -1 M0 5 L5 0 M4 6 L6 4" stroke="#000" stroke-width="0.9" fill="none" {}
                }
                pattern id={ (heading.id) "-band" } width="9" height="9" patternUnits="userSpaceOnUse" {
                    rect width="9" height="9" fill="#fff" {}
                    circle cx="2" cy="2" r="0.7" fill="#666" {}
                    circle cx="6.5" cy="6.5" r="0.7" fill="#666" {}
                }
            }
            (drawn)
        }
    };
    Chart {
        title: heading.title.clone(),
        says: heading.says.clone(),
        svg: svg.into_string(),
        width_tenths: WIDTH.0,
        height_tenths: height.0,
    }
}

/// The hatching of a chart, as a value of `fill`.
#[must_use]
pub fn hatch(heading: &Heading) -> String {
    format!("url(#{}-hatch)", heading.id)
}

/// The dots of a chart's band, as a value of `fill`.
#[must_use]
pub fn dots(heading: &Heading) -> String {
    format!("url(#{}-band)", heading.id)
}

/// A text cut to so many letters; the whole of it stands in the table below the chart.
///
/// ```
/// use papers::charts::drawing::fitting;
/// assert_eq!(fitting("Felling, first crew", 12), "Felling, fi…");
/// assert_eq!(fitting("Hewing", 12), "Hewing");
/// ```
#[must_use]
pub fn fitting(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut cut: String = text.chars().take(most.saturating_sub(1)).collect();
    cut.push('…');
    cut
}

/// Text with its left end, middle or right end at a point.
#[must_use]
pub fn text((x, y): (Tenths, Tenths), anchor: &str, says: &str) -> Markup {
    html! { text x=(x) y=(y) text-anchor=(anchor) { (says) } }
}

/// A straight line.
#[must_use]
pub fn line((x1, y1): (Tenths, Tenths), (x2, y2): (Tenths, Tenths), dashes: Option<&str>) -> Markup {
    html! { line x1=(x1) y1=(y1) x2=(x2) y2=(y2) stroke="#000" stroke-width="0.8" stroke-dasharray=[dashes] {} }
}
