//! Two measures of the same sticks held against each other: a scaler's beside a checker's, with the band within which
//! they agree.

use audit::PercentBase;
use kernel::Fixed;
use maud::{Markup, html};

use super::axis::Axis;
use super::drawing::{Heading, Tenths, dots, frame, line, text};
use crate::paper::Chart;

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
    /// In hundredths of what one of them found, up or down.
    pub percent: Fixed,
    /// Of whose: the scaler's, which is the original, or the checker's.
    pub base: PercentBase,
}

impl Tolerance {
    /// Whether the two are as near to each other as this; the edge of the band belongs to it.
    ///
    /// ```
    /// use papers::charts::scatter::{Point, Tolerance};
    /// let five = Tolerance { percent: "5".parse()?, base: audit::PercentBase::Check };
    /// let point = |scaler: &str| Ok::<_, kernel::NumberTextError>(Point { checker: "200".parse()?, scaler: scaler.parse()? });
    /// assert!(five.holds(point("190")?) && five.holds(point("210")?));
    /// assert!(!five.holds(point("189.999999")?));
    /// # Ok::<(), kernel::NumberTextError>(())
    /// ```
    #[must_use]
    pub fn holds(self, point: Point) -> bool {
        let (checker, scaler) = (millionths(point.checker), millionths(point.scaler));
        let base = match self.base {
            PercentBase::Original => scaler,
            PercentBase::Check => checker,
        };
        // |scaler - checker| × 100 <= percent × base, the percent being in millionths too.
        let away = (scaler - checker).abs();
        let hundred = 100 * i128::from(Fixed::STEPS_PER_UNIT);
        match (away.checked_mul(hundred), millionths(self.percent).checked_mul(base)) {
            (Some(away), Some(allowed)) => away <= allowed,
            // Beyond what a stick could ever hold.
            _ => false,
        }
    }

    /// Where the band's edges leave a square of this size: the upper one at its top, so far across, and the lower one at its
    /// right, so far up. Cut to a millionth.
    fn ends(self, top: Fixed) -> (Fixed, Fixed) {
        let hundred = 100 * i128::from(Fixed::STEPS_PER_UNIT);
        let (size, percent) = (millionths(top), millionths(self.percent));
        let fixed = |figure: i128| Fixed::from_millionths(i64::try_from(figure).unwrap_or(i64::MAX));
        // What is less by so many hundredths of the square's side, and what the side is so many hundredths more than.
        let less = fixed(size.saturating_mul(hundred.saturating_sub(percent)).max(0) / hundred);
        let more = fixed(size.saturating_mul(hundred) / hundred.saturating_add(percent).max(1));
        match self.base {
            PercentBase::Original => (less, more),
            PercentBase::Check => (more, less),
        }
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
/// edges, and the line on which both found the same. Without a tolerance there is no band, and every point is a circle.
#[must_use]
pub fn scatter(
    heading: &Heading,
    labels: ScatterLabels<'_>,
    points: &[Point],
    tolerance: Option<Tolerance>,
) -> Chart {
    let figures = || points.iter().flat_map(|point| [point.checker, point.scaler]);
    let across = Axis::around(figures(), LEFT, RIGHT);
    let up = Axis::around(figures(), BOTTOM, TOP);
    let place = |checker: Fixed, scaler: Fixed| (across.place(checker), up.place(scaler));
    let top = across.high();
    let (origin, corner) = (place(Fixed::ZERO, Fixed::ZERO), place(top, top));
    let edges = tolerance.map(|tolerance| tolerance.ends(top));
    let edges = edges.map(|(upper, lower)| (place(upper, top), place(top, lower)));
    let path = |points: &[(Tenths, Tenths)]| {
        points.iter().map(|(x, y)| format!("{x},{y}")).collect::<Vec<_>>().join(" ")
    };
    let middle = LEFT.plus(RIGHT.minus(LEFT).half());
    frame(
        heading,
        HEIGHT,
        &html! {
            @if let Some((upper, lower)) = edges {
                (key())
                polygon points=(path(&[origin, upper, corner, lower])) fill=(dots(heading)) {}
                (line(origin, upper, Some("5 3")))
                (line(origin, lower, Some("5 3")))
            }
            (line(origin, corner, None))
            (line((LEFT, TOP), (LEFT, BOTTOM), None))
            (line((LEFT, BOTTOM), (RIGHT, BOTTOM), None))
            @for point in points {
                (mark(place(point.checker, point.scaler), tolerance.is_none_or(|one| one.holds(*point))))
            }
            (text((LEFT.minus(Tenths(50)), TOP.plus(Tenths(40))), "end", &top.to_string()))
            (text((LEFT.minus(Tenths(50)), BOTTOM.plus(Tenths(40))), "end", "0"))
            (text((RIGHT, BOTTOM.plus(Tenths(170))), "end", &top.to_string()))
            (text((middle, BOTTOM.plus(Tenths(350))), "middle", labels.checker))
            (text((Tenths(0), TOP.minus(Tenths(150))), "start", labels.scaler))
        },
    )
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
        scatter(&heading, labels, points, Some(of_check(percent))).svg
    }

    fn of_check(percent: &str) -> Tolerance {
        Tolerance { percent: fixed(percent), base: PercentBase::Check }
    }

    #[test]
    fn the_edge_belongs_to_the_band() {
        let five = of_check("5");
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
        assert!(of_check("0").holds(point("7", "7")));
    }

    #[test]
    fn a_percentage_can_be_of_what_the_scaler_found() {
        let five = Tolerance { percent: fixed("5"), base: PercentBase::Original };
        // 100 is 5 % less than 105.263158, and 5 % more than 95.238095.
        assert!(five.holds(point("100", "105.263")) && !five.holds(point("100", "95")));
        assert!(five.holds(point("95", "100")) && five.holds(point("105", "100")));
        assert_eq!(five.ends(fixed("200")), (fixed("190"), fixed("190.476190")));
        assert_eq!(of_check("5").ends(fixed("200")), (fixed("190.476190"), fixed("190")));
    }

    #[test]
    fn without_a_tolerance_there_is_no_band() {
        let heading = Heading { id: "s".into(), title: "T".into(), says: "S".into() };
        let labels = ScatterLabels { checker: "checker", scaler: "scaler" };
        let svg = scatter(&heading, labels, &[point("100", "300")], None).svg;
        assert!(!svg.contains("<polygon") && !svg.contains("stroke-dasharray"), "{svg}");
        assert!(svg.contains("r=\"3.5\"") && !svg.contains("stroke-width=\"1.8\""), "{svg}");
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
