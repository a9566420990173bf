//! Shares as bars across the page, in groups: what defect took, by scaler.

use kernel::Fixed;
use maud::html;

use super::axis::Axis;
use super::drawing::{Heading, Tenths, WIDTH, fitting, frame, hatch, line, text};
use crate::paper::Chart;

/// How high a line of text is.
const LINE: Tenths = Tenths(165);
/// How high a bar is.
const BAR: Tenths = Tenths(110);
/// As many letters as fit across.
const LETTERS_ACROSS: usize = 62;
/// The same beside a figure.
const LETTERS_OF_A_NAME: usize = 36;

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShareBar {
    /// Whose it is.
    pub name: String,
    /// How much, in hundredths.
    pub percent: Fixed,
    /// Of how much, in words.
    pub of: String,
}

/// Bars that may be held against each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShareGroup {
    /// What they have in common.
    pub says: String,
    /// The bars.
    pub bars: Vec<ShareBar>,
}

/// The chart. All groups have one axis; each bar carries its own figure, so that there is none to read off.
#[must_use]
pub fn shares(heading: &Heading, groups: &[ShareGroup]) -> Chart {
    let all = groups.iter().flat_map(|group| &group.bars).map(|bar| bar.percent);
    // The outline of a bar at the very edge would be cut.
    let axis = Axis::around(all, Tenths(10), WIDTH.minus(Tenths(10)));
    let zero = axis.place(Fixed::ZERO);
    let mut top = Tenths(0);
    let mut drawn = Vec::new();
    for group in groups {
        top = top.plus(LINE);
        let says = fitting(&group.says, LETTERS_ACROSS);
        drawn.push(
            html! { g font-weight="bold" { (text((Tenths(0), top.minus(Tenths(40))), "start", &says)) } },
        );
        for bar in &group.bars {
            top = top.plus(LINE);
            let end = axis.place(bar.percent);
            let y = top.minus(Tenths(40));
            drawn.push(html! {
                (text((Tenths(0), y), "start", &fitting(&bar.name, LETTERS_OF_A_NAME)))
                (text((WIDTH, y), "end", &format!("{} % of {}", bar.percent, bar.of)))
                // A bar of nothing is no bar: who reads the drawing may stumble over it.
                @if end > zero {
                    rect x=(zero) y=(top) width=(end.minus(zero)) height=(BAR) fill=(hatch(heading)) stroke="#000"
                        stroke-width="0.8" {}
                }
                (line((zero, top.minus(Tenths(10))), (zero, top.plus(BAR).plus(Tenths(10))), None))
            });
            top = top.plus(BAR).plus(Tenths(50));
        }
        top = top.plus(Tenths(60));
    }
    frame(heading, top.max(LINE), &html! { @for part in drawn { (part) } })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_as_long_as_their_shares_and_say_so() {
        let heading = Heading { id: "d".into(), title: "T".into(), says: "S".into() };
        let bar = |name: &str, percent: &str| ShareBar {
            name: name.into(),
            percent: percent.parse().unwrap(),
            of: "100 board feet".into(),
        };
        let bars = vec![bar("One", "10"), bar("<b>Two</b>", "5"), bar("None", "0")];
        let svg = shares(&heading, &[ShareGroup { says: "On one scale".into(), bars }]).svg;
        assert!(svg.contains("width=\"418\""), "{svg}");
        assert!(svg.contains("width=\"209\""), "{svg}");
        assert!(svg.contains("&lt;b&gt;Two&lt;/b&gt;"), "{svg}");
        assert!(svg.contains(">0 % of 100 board feet</text>"), "{svg}");
        assert!(shares(&heading, &[]).svg.contains("viewBox=\"0 0 420 16.5\""));
    }
}
