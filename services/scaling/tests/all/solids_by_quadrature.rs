//! The solid rules against contents added up in floating point by somebody else's numerical quadrature.
//!
//! `solids.rs` holds three logs between exact fractions. Here are many logs of any size, and the reckoning shares nothing
//! with the rules: a profile is drawn from its two ends, and the crate `quadrature` integrates the circles along it.
//! Clenshaw-Curtis quadrature with n nodes is exact for polynomials of lower degree, it goes up to 257 of them, and none
//! of the profiles here is past the fourth degree. So what is left between a rule and its solid has these sources and no
//! other:
//!
//! - the printed circle factors, 0.005454 for π / 576 and 0.00007854 for π / 40,000. They are turned into the true ones
//!   before anything is compared, and one test says how far they are off;
//! - a reading has at most four decimals. The diameter at mid-length is worked out and then read, so it is off by up to
//!   half of the last: [`READING`]. An area is off by twice as much a part of itself;
//! - a double has 53 bits, and a few hundred roundings of it stay under [`DOUBLE`] of the result.
#![expect(clippy::float_arithmetic, reason = "the independent reckoning is one in floating point")]

use std::f64::consts::PI;

use kernel::{Exact, Rounding};
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use quadrature::clenshaw_curtis;
use serde_json::{Value, json};

use crate::common::{asked, scaled};

/// Half of the last decimal of a reading.
const READING: f64 = 0.000_05;
/// What the roundings of doubles come to, as a part of the result.
const DOUBLE: f64 = 1e-12;
/// The step to which an exact answer is brought before it becomes a double.
const STEP: Exact = Exact::fraction(1, 1_000_000_000_000);

/// The integral of a function between two places.
fn integral(from: f64, to: f64, of: impl Fn(f64) -> f64) -> f64 {
    // Asked for no error at all, it goes on until its nodes are used up or two sums of it agree to the last bit.
    let found = clenshaw_curtis::integrate(of, from, to, 0.0);
    assert!(found.error_estimate <= DOUBLE * found.integral.abs(), "{found:?}");
    found.integral
}

fn double(value: Exact) -> f64 {
    value.rounded_to(STEP, Rounding::HalfEven).unwrap().to_string().parse().unwrap()
}

/// Inches and feet, or centimetres and metres.
#[derive(Clone, Copy, Debug)]
enum System {
    Inch,
    Metric,
}

impl System {
    /// The factor of a rule as it is printed, and as it is.
    fn circle_factors(self) -> (f64, f64) {
        match self {
            Self::Inch => (0.005_454, PI / 576.0),
            Self::Metric => (0.000_078_54, PI / 40_000.0),
        }
    }

    fn member(self, place: &str) -> String {
        match self {
            Self::Inch => format!("{place}_diameter_in"),
            Self::Metric => format!("{place}_diameter_cm"),
        }
    }
}

/// A log whose square of the diameter grows as a power of the distance from a tip: 1 for a paraboloid, 2 for a cone, 3
/// for a neiloid.
#[derive(Clone, Copy, Debug)]
struct Solid {
    system: System,
    power: i32,
    /// Diameters of the ends and the length, in ten-thousandths as a tape shows them.
    small: u32,
    large: u32,
    length: u32,
}

fn tenthousandths(count: u32) -> String {
    format!("{}.{:04}", count / 10_000, count % 10_000)
}

impl Solid {
    fn ends(&self) -> (f64, f64, f64) {
        let [small, large, length] = [self.small, self.large, self.length].map(|size| f64::from(size) / 1e4);
        (small, large, length)
    }

    /// The diameter at a part of the length, from 0 at the small end to 1 at the large.
    fn diameter(&self, part: f64) -> f64 {
        let (small, large, _) = self.ends();
        // The root of the diameter that grows evenly.
        let even = |diameter: f64| diameter.powf(2.0 / f64::from(self.power));
        let at = even(small) + (even(large) - even(small)) * part;
        at.powf(f64::from(self.power) / 2.0)
    }

    /// The content, by quadrature of its circles.
    fn content(&self) -> f64 {
        let (_, circle) = self.system.circle_factors();
        let (.., length) = self.ends();
        length * integral(0.0, 1.0, |part| circle * self.diameter(part).powi(2))
    }

    /// What a rule makes of it, by the true circle factor.
    fn by(&self, rule: &str) -> f64 {
        let (printed, circle) = self.system.circle_factors();
        let middle = format!("{:.4}", self.diameter(0.5));
        let (small, large) = (tenthousandths(self.small), tenthousandths(self.large));
        let mut request = json!({"rule": rule, "rounding": "none"});
        let length = match self.system {
            System::Inch => "length_ft",
            System::Metric => "length_m",
        };
        request[length] = json!(tenthousandths(self.length));
        let places: &[(&str, &str)] = match rule {
            "huber" => &[("middle", &middle)],
            "newton" => &[("small", &small), ("middle", &middle), ("large", &large)],
            _ => &[("small", &small), ("large", &large)],
        };
        for (place, diameter) in places {
            request[self.system.member(place)] = json!(diameter);
        }
        double(asked(request).unwrap().gross) / printed * circle
    }

    /// How far a rule that is exact for this solid may be from it: by the reading of the middle where it takes one, by
    /// the doubles, and by the step of [`double`] before the division by the printed factor.
    fn tolerance(&self, rule: &str) -> f64 {
        let share = match rule {
            "huber" => 1.0,
            // Four sixths of Newton's areas are the middle's.
            "newton" => 2.0 / 3.0,
            _ => 0.0,
        };
        // Twice a reading's error, with a little for its own square.
        let (small, ..) = self.ends();
        let read = share * 2.01 * READING / small;
        self.content() * (read + DOUBLE) + 2e-12
    }

    fn held(&self, rule: &str) -> Result<(), TestCaseError> {
        let (content, by_rule) = (self.content(), self.by(rule));
        let apart = (content - by_rule).abs();
        prop_assert!(apart <= self.tolerance(rule), "{rule}: {by_rule}, by quadrature {content}");
        Ok(())
    }
}

prop_compose! {
    /// Logs of any taper: from 2 to 60 across the small end, up to twice as much across the large.
    fn solid(power: i32)(
        metric in any::<bool>(),
        small in 20_000_u32..600_000,
        share in 0_u32..1000,
        length in 10_000_u32..600_000,
    ) -> Solid {
        let system = if metric { System::Metric } else { System::Inch };
        Solid { system, power, small, large: small + small / 1000 * share, length }
    }
}

/// Each is the fraction of π that its name says, to as many figures as it has in print.
#[test]
fn the_printed_circle_factors_are_the_true_ones_rounded() {
    for (system, last_figure) in [(System::Inch, 1e-6), (System::Metric, 1e-8)] {
        let (printed, circle) = system.circle_factors();
        assert!((printed - circle).abs() <= last_figure / 2.0, "{system:?}: {printed} for {circle}");
    }
    for (rule, system) in
        [(scaling::rules::System::Inch, System::Inch), (scaling::rules::System::Metric, System::Metric)]
    {
        assert!((double(rule.circle_factor()) - system.circle_factors().0).abs() < 1e-12);
    }
}

/// The quadrature finds what is known without it: the circles of a cylinder, and a cone down to a tip.
#[test]
fn the_quadrature_is_right_where_the_answer_is_plain() {
    assert!((integral(0.0, 7.0, |_| 3.0) - 21.0).abs() < 1e-12);
    assert!((integral(0.0, 2.0, |at| at.powi(4)) - 6.4).abs() < 1e-12);
    let solid = Solid { system: System::Inch, power: 2, small: 120_000, large: 120_000, length: 160_000 };
    assert!((solid.content() - PI / 4.0 * 16.0).abs() < 1e-12);
}

proptest! {
    /// Newton is exact for all three, whatever the taper; so are Smalian and Huber for the paraboloid.
    #[test]
    fn a_paraboloid_is_smalians_hubers_and_newtons(solid in solid(1)) {
        solid.held("smalian")?;
        solid.held("huber")?;
        solid.held("newton")?;
    }

    #[test]
    fn a_cone_is_the_two_end_conics_and_newtons(solid in solid(2)) {
        solid.held("two-end-conic")?;
        solid.held("newton")?;
    }

    #[test]
    fn a_neiloid_is_newtons(solid in solid(3)) {
        solid.held("newton")?;
    }

    /// Of a cone Smalian is over by a sixth of the square of the taper and Huber under by a twelfth, times f and the
    /// length; the subneiloid, which takes the same middle, is where Huber is.
    #[test]
    fn what_the_rules_miss_of_a_cone(solid in solid(2)) {
        let ((small, large, length), (_, circle)) = (solid.ends(), solid.system.circle_factors());
        let taper = circle * (large - small).powi(2) * length;
        let content = solid.content();
        for (rule, off) in [("smalian", taper / 6.0), ("huber", -taper / 12.0), ("subneiloid", -taper / 12.0)] {
            let apart = (solid.by(rule) - content - off).abs();
            prop_assert!(apart <= solid.tolerance(rule), "{rule}: {apart}");
        }
    }

    /// The subneiloid is what its name says: never more than the neiloid between the same ends, and never less than the
    /// solid whose square of the diameter grows as the fourth power, from which it differs by a twentieth of the fourth
    /// power of the difference between the roots of the ends.
    #[test]
    fn the_subneiloid_is_a_little_under_the_neiloid(neiloid in solid(3)) {
        let fourth = Solid { power: 4, ..neiloid };
        let (rule, slack) = (neiloid.by("subneiloid"), neiloid.tolerance("subneiloid"));
        prop_assert!(rule <= neiloid.content() + slack, "{rule} and {}", neiloid.content());
        let ((small, large, length), (_, circle)) = (neiloid.ends(), neiloid.system.circle_factors());
        let over = circle * (large.sqrt() - small.sqrt()).powi(4) / 20.0 * length;
        prop_assert!((rule - fourth.content() - over).abs() <= slack, "{rule} and {}", fourth.content());
    }

    /// Sorenson takes the middle of a cone of an inch in ten feet, so it is under that cone as Huber is.
    #[test]
    fn sorenson_is_the_middle_of_a_cone_of_an_inch_in_ten_feet(small in 20_000_u32..600_000, feet in 1_u32..61) {
        let cone = Solid {
            system: System::Inch, power: 2, small, large: small + 1000 * feet, length: 10_000 * feet
        };
        let request = json!({"rule": "sorenson", "diameter_in": tenthousandths(small),
            "length_ft": feet.to_string()});
        let (printed, circle) = cone.system.circle_factors();
        let rule = double(asked(request).unwrap().gross) / printed * circle;
        let under = circle * (f64::from(feet) / 10.0).powi(2) / 12.0 * f64::from(feet);
        prop_assert!((rule + under - cone.content()).abs() <= cone.tolerance("sorenson"), "{rule}");
    }

    /// The girth of a cylinder, read to four decimals: quarter girth makes a quarter of π of what is there, and fifth
    /// girth eight twenty-fifths of it, a little more than all.
    #[test]
    fn girths_are_their_parts_of_the_cylinder(diameter in 20_000_u32..600_000, length in 10_000_u32..600_000) {
        let cylinder =
            Solid { system: System::Inch, power: 1, small: diameter, large: diameter, length };
        let girth = PI * f64::from(diameter) / 1e4;
        for (rule, part) in [("quarter-girth", PI / 4.0), ("fifth-girth", 8.0 * PI / 25.0)] {
            let request = json!({"rule": rule, "girth_in": format!("{girth:.4}"),
                "length_ft": tenthousandths(length)});
            let share = double(asked(request).unwrap().gross) / cylinder.content();
            // The girth is squared.
            prop_assert!((share / part - 1.0).abs() <= 2.01 * READING / girth + 1e-11, "{rule}: {share}");
        }
    }

    /// Vermont to 12 feet and the inscribed square are the square that stands on its corner in the circle, and a board
    /// foot is a twelfth of a foot of square inches. The slab beside it is integrated, not reckoned from the diagonal.
    #[test]
    fn vermont_is_the_square_in_the_circle(diameter in 2_u32..60, length in 10_000_u32..120_000) {
        let half = f64::from(diameter) / 2.0;
        let square = 4.0 * integral(0.0, half, |across| half - across);
        let board_feet = square * f64::from(length) / 1e4 / 12.0;
        for (rule, unit) in [("vermont", Value::Null), ("inscribed-square", json!("board_foot"))] {
            let mut request = json!({"rule": rule, "diameter_in": diameter.to_string(),
                "length_ft": tenthousandths(length), "rounding": "none"});
            if !unit.is_null() {
                request["unit"] = unit;
            }
            let by_rule = double(asked(request).unwrap().gross);
            prop_assert!((by_rule / board_feet - 1.0).abs() <= 1e-11, "{rule}: {by_rule}, {board_feet}");
        }
    }
}

/// The sides of a section, in quarter inches.
fn section(width: u32, thickness: u32) -> Value {
    let side = |quarters: u32| (Exact::fraction(quarters.into(), 4)).to_string();
    json!({"width_in": side(width), "thickness_in": side(thickness)})
}

proptest! {
    /// The true frustum of a hewn stick is the integral of its sections; ends averaged is under it by a twelfth of what
    /// the sides taper, one times the other.
    #[test]
    fn a_tapering_stick_is_the_integral_of_its_sections(
        (width, thickness) in (16_u32..80, 16_u32..80),
        (wider, thicker) in (0_u32..30, 0_u32..30),
        length in 4_u32..60,
    ) {
        let stick = json!({"product": "hewn_timber", "species": "white oak",
            "small_end": section(width, thickness),
            "large_end": section(width + wider, thickness + thicker), "length_ft": length.to_string()});
        let measured = |content: &str| {
            let rounding = json!({"step": "0.000000000001", "mode": "half_even"});
            let practice = json!({"hewn_timber": {"content": content, "volume_rounding": rounding}});
            let practice = serde_json::from_value(practice).unwrap();
            let piece = serde_json::from_value(stick.clone()).unwrap();
            double(scaling::scale(&practice, &piece).unwrap().volume.unwrap().gross)
        };
        let inches = |quarters: u32| f64::from(quarters) / 4.0;
        let (over_width, over_thickness) = (inches(wider), inches(thicker));
        let square = |part: f64| {
            (inches(width) + over_width * part) * (inches(thickness) + over_thickness * part)
        };
        let board_feet = integral(0.0, 1.0, square) * f64::from(length) / 12.0;
        prop_assert!((measured("frustum") / board_feet - 1.0).abs() <= 1e-11);
        let under = over_width * over_thickness / 12.0 * f64::from(length) / 12.0;
        prop_assert!(((measured("ends_averaged") + under) / board_feet - 1.0).abs() <= 1e-11);
    }

    /// Of a rule of solid content a core of rot and a rotten rim lose what they hold: areas by quadrature, of the
    /// ellipse in strips and of the rim in rings.
    #[test]
    fn solid_losses_are_the_areas_of_their_figures(
        diameter in 12_u32..40,
        (major, minor) in (1_u32..9, 1_u32..9),
        core in 1_u32..12,
        (length, part) in (8_u32..40, 1_u32..8),
    ) {
        let loss = |defect: Value| {
            let across = diameter.to_string();
            let members = json!({"small_diameter_in": [across], "large_diameter_in": [across],
                "length_ft": length.to_string(), "defects": [defect]});
            let volume = scaled(json!({"rule": "smalian", "length_multiple_ft": "1"}), &members)
                .unwrap().volume.unwrap();
            double(volume.gross.minus(volume.net).unwrap()) / double(volume.gross)
        };
        let circle = PI / 4.0 * f64::from(diameter).powi(2);
        let along = f64::from(part) / f64::from(length);
        let held = |lost: f64, area: f64, tolerance: f64| -> Result<(), TestCaseError> {
            let part_of_log = area / circle * along;
            prop_assert!((lost - part_of_log).abs() <= tolerance, "{lost}, by quadrature {part_of_log}");
            Ok(())
        };
        let ellipse = json!({"kind": "heart_rot", "method": "ellipse", "major_in": major.to_string(),
            "minor_in": minor.to_string(), "length_ft": part.to_string()});
        // In terms of an angle, so that the strip's length is smooth to its ends.
        let strips = |angle: f64| angle.cos().powi(2) * f64::from(major) * f64::from(minor) / 2.0;
        held(loss(ellipse), integral(-PI / 2.0, PI / 2.0, strips), 1e-10)?;
        let rim = json!({"kind": "sap_rot", "method": "sound_core", "core_in": core.to_string(),
            "length_ft": part.to_string()});
        let rings = integral(f64::from(core) / 2.0, f64::from(diameter) / 2.0, |radius| 2.0 * PI * radius);
        held(loss(rim), rings, 1e-10)?;
    }
}
