//! Two measures of the same sticks held against each other: a scaler's beside a checker's, with the band within which
//! they agree.

use kernel::Fixed;
use maud::{Markup, html};

use super::axis::Axis;
use super::drawing::{Heading, Tenths, dots, frame, line, text};

/// The square that the points lie in.
const LEFT: Tenths = Tenths(560);
const RIGHT: Tenths = Tenths(4060);
const TOP: Tenths = Tenths(560);
const BOTTOM: Tenths = Tenths(4060);
const HEIGHT: Tenths = Tenths(4560);

/// The same sticks, measured by two people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point {
    /// What the checker found.
    pub checker: Fixed,
    /// What the scaler had found.
    pub scaler: Fixed,
}

/// How far a scaler may be from the checker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tolerance {
    /// In hundredths of what the checker found, up or down.
    pub percent: Fixed,
}

impl Tolerance {
    /// Whether the two are as near to each other as this; the edge of the band belongs to it.
    ///
    /// ```
    /// use api::reports::charts::scatter::{Point, Tolerance};
    /// let five = Tolerance { percent: "5".parse()? };
    /// let point = |scaler: &str| Ok::<_, kernel::NumberTextError>(Point { checker: "200".parse()?, scaler: scaler.parse()? });
    /// assert!(five.holds(point("190")?) && five.holds(point("210")?));
    /// assert!(!five.holds(point("189.999999")?));
    /// # Ok::<(), kernel::NumberTextError>(())
    /// ```
    #[must_use]
    pub fn holds(self, point: Point) -> bool {
        let (checker, scaler) = (millionths(point.checker), millionths(point.scaler));
        // |scaler - checker| × 100 <= percent × checker, the percent being in millionths too.
        let away = (scaler - checker).abs();
        let hundred = 100 * i128::from(Fixed::STEPS_PER_UNIT);
        match (away.checked_mul(hundred), millionths(self.percent).checked_mul(checker)) {
            (Some(away), Some(allowed)) => away <= allowed,
            // Beyond what a stick could ever hold.
            _ => false,
        }
    }

    /// So many hundredths of a figure more or, with the sign -1, less than it; cut to a millionth, and at most what a figure
    /// can hold.
    fn edge(self, figure: Fixed, sign: i128) -> Fixed {
        let hundred = 100 * i128::from(Fixed::STEPS_PER_UNIT);
        let part = millionths(figure).saturating_mul(millionths(self.percent)) / hundred;
        let edge = millionths(figure).saturating_add(sign.saturating_mul(part));
        Fixed::from_millionths(i64::try_from(edge).unwrap_or(i64::MAX))
    }
}

fn millionths(figure: Fixed) -> i128 {
    figure.millionths().into()
}

/// What the two axes show, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScatterLabels<'a> {
    /// Along the page.
    pub checker: &'a str,
    /// Up the page.
    pub scaler: &'a str,
}

/// The chart: a circle for each point within the band, a cross for each outside of it; the band dotted between dashed
/// edges, and the line on which both found the same.
#[must_use]
pub fn scatter(
    heading: &Heading,
    labels: ScatterLabels<'_>,
    points: &[Point],
    tolerance: Tolerance,
) -> Markup {
    let figures = || points.iter().flat_map(|point| [point.checker, point.scaler]);
    let across = Axis::around(figures(), LEFT, RIGHT);
    let up = Axis::around(figures(), BOTTOM, TOP);
    let place = |checker: Fixed, scaler: Fixed| (across.place(checker), up.place(scaler));
    let top = across.high();
    let upper = edge_end(tolerance, top);
    let lower = (top, tolerance.edge(top, -1));
    let (origin, corner) = (place(Fixed::ZERO, Fixed::ZERO), place(top, top));
    let (upper, lower) = (place(upper.0, upper.1), place(lower.0, lower.1));
    let path = |points: &[(Tenths, Tenths)]| {
        points.iter().map(|(x, y)| format!("{x},{y}")).collect::<Vec<_>>().join(" ")
    };
    let middle = LEFT.plus(RIGHT.minus(LEFT).half());
    frame(
        heading,
        HEIGHT,
        &html! {
            (key())
            polygon points=(path(&[origin, upper, corner, lower])) fill=(dots(heading)) {}
            (line(origin, upper, Some("5 3")))
            (line(origin, lower, Some("5 3")))
            (line(origin, corner, None))
            (line((LEFT, TOP), (LEFT, BOTTOM), None))
            (line((LEFT, BOTTOM), (RIGHT, BOTTOM), None))
            @for point in points { (mark(place(point.checker, point.scaler), tolerance.holds(*point))) }
            (text((LEFT.minus(Tenths(50)), TOP.plus(Tenths(40))), "end", &top.to_string()))
            (text((LEFT.minus(Tenths(50)), BOTTOM.plus(Tenths(40))), "end", "0"))
            (text((RIGHT, BOTTOM.plus(Tenths(170))), "end", &top.to_string()))
            (text((middle, BOTTOM.plus(Tenths(350))), "middle", labels.checker))
            (text((Tenths(0), TOP.minus(Tenths(150))), "start", labels.scaler))
        },
    )
}

/// Where the band's upper edge leaves the square: at the top of it, left of the corner.
fn edge_end(tolerance: Tolerance, top: Fixed) -> (Fixed, Fixed) {
    let hundred = 100 * i128::from(Fixed::STEPS_PER_UNIT);
    let whole = hundred.saturating_add(millionths(tolerance.percent));
    let checker = millionths(top).saturating_mul(hundred) / whole.max(1);
    (Fixed::from_millionths(i64::try_from(checker).unwrap_or(i64::MAX)), top)
}

fn mark((x, y): (Tenths, Tenths), within: bool) -> Markup {
    let arm = Tenths(35);
    html! {
        @if within {
            circle cx=(x) cy=(y) r="3.5" fill="#fff" stroke="#000" stroke-width="1.2" {}
        } @else {
            path d={ "M" (x.minus(arm)) " " (y.minus(arm)) " L" (x.plus(arm)) " " (y.plus(arm))
                     " M" (x.minus(arm)) " " (y.plus(arm)) " L" (x.plus(arm)) " " (y.minus(arm)) }
                stroke="#000" stroke-width="1.8" fill="none" {}
        }
    }
}

fn key() -> Markup {
    let y = Tenths(110);
    html! {
        (mark((Tenths(60), y.minus(Tenths(40))), true))
        (text((Tenths(180), y), "start", "within the band"))
        (mark((Tenths(1760), y.minus(Tenths(40))), false))
        (text((Tenths(1880), y), "start", "outside of it"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fixed(text: &str) -> Fixed {
        text.parse().unwrap()
    }

    fn point(checker: &str, scaler: &str) -> Point {
        Point { checker: fixed(checker), scaler: fixed(scaler) }
    }

    fn drawn(points: &[Point], percent: &str) -> String {
        let heading = Heading { id: "s".into(), title: "T".into(), says: "S".into() };
        let labels = ScatterLabels { checker: "checker", scaler: "scaler" };
        scatter(&heading, labels, points, Tolerance { percent: fixed(percent) }).into_string()
    }

    #[test]
    fn the_edge_belongs_to_the_band() {
        let five = Tolerance { percent: fixed("5") };
        for (one, within) in [
            (point("100", "100"), true),
            (point("100", "105"), true),
            (point("100", "95"), true),
            (point("100", "105.000001"), false),
            (point("0", "0"), true),
            (point("0", "0.000001"), false),
            (point("10", "0"), false),
        ] {
            assert_eq!(five.holds(one), within, "{one:?}");
        }
        assert!(Tolerance { percent: fixed("0") }.holds(point("7", "7")));
    }

    #[test]
    fn what_is_within_is_round_and_what_is_outside_is_crossed() {
        let svg = drawn(&[point("100", "101"), point("100", "120"), point("50", "51")], "5");
        // One of each in the key.
        assert_eq!(svg.matches("<circle cx=\"").count() - 2, 2 + 1, "{svg}");
        assert_eq!(svg.matches("stroke-width=\"1.8\"").count(), 1 + 1, "{svg}");
    }

    #[test]
    fn the_band_opens_from_nothing_to_the_edges_of_the_square() {
        // Axes to 200: 5 % below 200 is 190, and 200 is 5 % above 190.476190.
        let svg = drawn(&[point("180", "200")], "5");
        assert!(svg.contains("points=\"56,406 389.3,56 406,56 406,73.5\""), "{svg}");
    }

    #[test]
    fn nothing_to_show_is_no_fault() {
        let svg = drawn(&[], "5");
        assert!(svg.contains("viewBox") && !svg.contains("NaN"), "{svg}");
    }
}
