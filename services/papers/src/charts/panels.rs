//! Small charts one above the other, with a bar for every week: volume by stage, cost by task.

use jiff::civil::Date;
use kernel::Fixed;
use maud::{Markup, html};

use super::axis::Axis;
use super::drawing::{Heading, Tenths, WIDTH, fitting, frame, hatch, line, text};
use crate::paper::Chart;

/// Where the bars begin, to the right of the figures on the axis.
const LEFT: Tenths = Tenths(560);
/// Where they end.
const RIGHT: Tenths = Tenths(4140);
/// How high the bars' part of a panel is.
const PLOT: Tenths = Tenths(800);
/// How high a line of text is.
const LINE: Tenths = Tenths(165);
/// As many weeks as leave room for a figure on each bar.
const WEEKS_WITH_FIGURES: usize = 6;
/// As many dates as stand beside each other along a panel.
const DATES: usize = 5;
/// As many letters as fit across.
const LETTERS_ACROSS: usize = 62;

/// A week's bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bar {
    /// How far it goes in all.
    pub whole: Fixed,
    /// How far it is solid; the rest is hatched. Not above the whole.
    pub solid: Fixed,
}

impl Bar {
    /// A bar that is solid all through.
    #[must_use]
    pub const fn solid(figure: Fixed) -> Self {
        Self { whole: figure, solid: figure }
    }
}

/// One panel: what it shows, and a bar for each week that has any.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Panel {
    /// What it shows, on lines of their own.
    pub says: Vec<String>,
    /// A bar for each of the chart's weeks.
    pub bars: Vec<Option<Bar>>,
}

/// What the two parts of a bar stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BarParts<'a> {
    /// The solid part.
    pub solid: &'a str,
    /// The hatched part, where there can be one.
    pub hatched: Option<&'a str>,
}

/// The chart. All panels have one axis, so that their bars can be held against each other.
#[must_use]
pub fn panels(heading: &Heading, parts: BarParts<'_>, weeks: &[Date], panels: &[Panel]) -> Chart {
    let mut top = Tenths(0);
    let mut drawn = vec![key(heading, parts)];
    top = top.plus(LINE).plus(LINE.half());
    let figures: Vec<Fixed> =
        panels.iter().flat_map(|panel| &panel.bars).flatten().map(|bar| bar.whole).collect();
    for panel in panels {
        for says in &panel.says {
            top = top.plus(LINE);
            drawn.push(text((Tenths(0), top.minus(Tenths(40))), "start", &fitting(says, LETTERS_ACROSS)));
        }
        // Room for the figure on the highest bar.
        let high = top.plus(LINE);
        let axis = Axis::around(figures.iter().copied(), high.plus(PLOT), high);
        drawn.push(one(heading, &axis, weeks, panel));
        top = high.plus(PLOT).plus(LINE).plus(LINE).plus(Tenths(40));
    }
    frame(heading, top, &html! { @for part in drawn { (part) } })
}

/// The key: what solid and hatched mean.
fn key(heading: &Heading, parts: BarParts<'_>) -> Markup {
    let sample = |x: Tenths, fill: &str, says: &str| {
        html! {
            rect x=(x) y="2" width="12" height="10" fill=(fill) stroke="#000" stroke-width="0.8" {}
            (text((x.plus(Tenths(180)), Tenths(120)), "start", says))
        }
    };
    html! {
        (sample(Tenths(0), SOLID, parts.solid))
        @if let Some(hatched) = parts.hatched { (sample(Tenths(1500), &hatch(heading), hatched)) }
    }
}

/// The fill of what is solid.
const SOLID: &str = "#333";

fn one(heading: &Heading, axis: &Axis, weeks: &[Date], panel: &Panel) -> Markup {
    let zero = axis.place(Fixed::ZERO);
    let (low, high) = (axis.place(axis.low()), axis.place(axis.high()));
    let middle = Tenths(40);
    let at_axis = LEFT.minus(Tenths(50));
    let with_figures = weeks.len() <= WEEKS_WITH_FIGURES;
    html! {
        (line((LEFT, high), (RIGHT, high), Some("2 3")))
        (line((LEFT, zero), (RIGHT, zero), None))
        (text((at_axis, high.plus(middle)), "end", &axis.high().to_string()))
        (text((at_axis, zero.plus(middle)), "end", "0"))
        @if low != zero {
            (line((LEFT, low), (RIGHT, low), Some("2 3")))
            (text((at_axis, low.plus(middle)), "end", &axis.low().to_string()))
        }
        @for (place, (_, bar)) in weeks.iter().zip(&panel.bars).enumerate() {
            @if let Some(bar) = bar {
                (drawn(heading, axis, slot(place, weeks.len()), *bar, with_figures))
            }
        }
        (dates(weeks, low.plus(LINE)))
    }
}

/// Where a week's part of the panel begins and ends.
fn slot(place: usize, weeks: usize) -> (Tenths, Tenths) {
    let at = |place: usize| {
        let (place, weeks) = (i64::try_from(place).unwrap_or(0), i64::try_from(weeks).unwrap_or(1));
        LEFT.plus(Tenths(place.saturating_mul(RIGHT.minus(LEFT).0) / weeks.max(1)))
    };
    (at(place), at(place.saturating_add(1)))
}

fn drawn(
    heading: &Heading,
    axis: &Axis,
    (from, to): (Tenths, Tenths),
    bar: Bar,
    with_figure: bool,
) -> Markup {
    // A quarter of the room stays free, and no bar is broader than a thumb.
    let width = Tenths((to.minus(from).0 * 3 / 4).clamp(10, 600));
    let left = from.plus(to.minus(from).minus(width).half());
    let zero = axis.place(Fixed::ZERO);
    let part = |from: Tenths, to: Tenths, fill: &str| {
        let (top, bottom) = (from.min(to), from.max(to));
        html! {
            rect x=(left) y=(top) width=(width) height=(bottom.minus(top)) fill=(fill) stroke="#000" stroke-width="0.6" {}
        }
    };
    let (solid, whole) = (axis.place(bar.solid), axis.place(bar.whole));
    let above = whole.min(zero).minus(Tenths(35));
    html! {
        (part(zero, solid, SOLID))
        @if solid != whole { (part(solid, whole, &hatch(heading))) }
        @if with_figure {
            (text((left.plus(width.half()), above), "middle", &bar.solid.to_string()))
        }
    }
}

/// The last days of some of the weeks, as many as there is room for; the year with the first of each.
fn dates(weeks: &[Date], y: Tenths) -> Markup {
    let each = weeks.len().div_ceil(DATES).max(1);
    let shown: Vec<(usize, &Date)> = weeks.iter().enumerate().step_by(each).collect();
    let mut year = None;
    html! {
        @for (place, day) in shown {
            @let (from, to) = slot(place, weeks.len());
            @let own = from.plus(to.minus(from).half());
            @let whole = year.replace(day.year()) != Some(day.year());
            @let says = if whole { day.to_string() } else { day.strftime("%m-%d").to_string() };
            // A date at the very left would run into the figures of the axis.
            @let middle = own.max(LEFT.plus(Tenths(150))).min(WIDTH.minus(Tenths(350)));
            // A stroke says which of many bars it is.
            (line((own, y.minus(LINE)), (own, y.minus(Tenths(125))), None))
            (text((middle, y.plus(Tenths(15))), "middle", &says))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan;
    use jiff::civil::date;

    fn drawn_for(count: usize) -> String {
        let heading = Heading { id: "v".into(), title: "T".into(), says: "S".into() };
        let weeks: Vec<Date> =
            (0..count).map(|week| date(2030, 1, 5) + (7 * i64::try_from(week).unwrap()).days()).collect();
        let bar = Bar { whole: "120".parse().unwrap(), solid: "90".parse().unwrap() };
        let panel = Panel { says: vec!["felled".into()], bars: vec![Some(bar); count] };
        let parts = BarParts { solid: "net", hatched: Some("defect") };
        panels(&heading, parts, &weeks, &[panel]).svg
    }

    #[test]
    fn every_week_has_its_bar_and_a_few_have_their_date() {
        for (weeks, dates) in [(0, 0), (1, 1), (2, 2), (5, 5), (6, 3), (13, 5), (52, 5), (53, 5)] {
            let svg = drawn_for(weeks);
            assert_eq!(svg.matches(SOLID).count(), weeks + 1, "{weeks} weeks and the key: {svg}");
            assert_eq!(svg.matches("url(#v-hatch)").count(), weeks + 1, "{svg}");
            let shown = svg.matches("-0").count() + svg.matches("-1").count();
            assert!(shown >= dates, "{weeks} weeks: {svg}");
            assert!(!svg.contains("NaN") && !svg.contains("width=\"0\""), "{svg}");
        }
    }

    #[test]
    fn a_bar_is_as_high_as_its_figure() {
        // 120 of 200 on 80 units, of which 90 are solid: 48 in all, 36 solid.
        let svg = drawn_for(1);
        assert!(svg.contains("height=\"36\" fill=\"#333\""), "{svg}");
        assert!(svg.contains("height=\"12\" fill=\"url(#v-hatch)\""), "{svg}");
        assert!(svg.contains(">90</text>"), "{svg}");
    }

    #[test]
    fn what_is_below_zero_hangs_from_the_line() {
        let heading = Heading { id: "c".into(), title: "T".into(), says: "S".into() };
        let weeks = [date(2030, 1, 5), date(2030, 1, 12)];
        let bar = |text: &str| Some(Bar::solid(text.parse().unwrap()));
        let panel = Panel { says: vec![], bars: vec![bar("1"), bar("-1")] };
        let svg = panels(&heading, BarParts { solid: "cost", hatched: None }, &weeks, &[panel]).svg;
        // Both are half of the panel; one begins where the other ends.
        assert_eq!(svg.matches("height=\"40\" fill=\"#333\"").count(), 2, "{svg}");
        assert!(svg.contains(">-1</text>"), "{svg}");
    }
}
