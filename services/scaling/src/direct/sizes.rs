//! From the members of a direct request to the sizes a rule is entered with: one name for each size, one
//! system for all, and nothing the rule would quietly ignore.

use kernel::{Exact, VolumeUnit};

use super::DirectRequest;
use crate::piece::total_feet;
use crate::rules::{Measures, System, Takes};
use crate::{Centimetres, Inches, RuleName, ScaleProblem};

/// What a member of a request means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Role {
    /// The one diameter the rule asks for.
    One,
    Small,
    Middle,
    Large,
    Sections,
    Girth,
    Width,
    Thickness,
}

/// A size that was given.
#[derive(Clone, Copy)]
struct Given {
    member: &'static str,
    role: Role,
    system: System,
    value: Exact,
}

/// The sizes of a request, once they are known to be the ones its rule takes.
pub(super) fn measures<'a>(
    request: &DirectRequest,
    sections: Option<&'a [Exact]>,
) -> Result<Measures<'a>, ScaleProblem> {
    let rule = request.rule;
    let given = given(request);
    one_system(request, &given)?;
    for size in &given {
        if !takes(rule, *size) {
            return Err(ScaleProblem::SizeNotUsed { member: size.member, rule });
        }
    }
    one_name_each(rule.facts().takes, &given)?;
    let (length, system) = length(request)?;
    choices(request, system)?;
    let value = |role: Role| given.iter().find(|size| size.role == role).map(|size| size.value);
    let (one_small, one_middle) = match rule.facts().takes {
        Takes::Middle | Takes::MiddleOrEnds => (None, value(Role::One)),
        _ => (value(Role::One), None),
    };
    Ok(Measures {
        small: value(Role::Small).or(one_small),
        middle: value(Role::Middle).or(one_middle),
        large: value(Role::Large),
        girth: value(Role::Girth),
        width: value(Role::Width),
        thickness: value(Role::Thickness),
        sections,
        taper_rounding: None,
        length,
        system,
    })
}

/// Every size that was given, the length left out.
fn given(request: &DirectRequest) -> Vec<Given> {
    let inches = [
        ("diameter_in", Role::One, request.diameter_in.map(Inches::exact)),
        ("small_diameter_in", Role::Small, request.small_diameter_in.map(Inches::exact)),
        ("middle_diameter_in", Role::Middle, request.middle_diameter_in.map(Inches::exact)),
        ("large_diameter_in", Role::Large, request.large_diameter_in.map(Inches::exact)),
        ("section_diameters_in", Role::Sections, request.section_diameters_in.as_ref().map(|_| Exact::ZERO)),
        ("girth_in", Role::Girth, request.girth_in.map(|girth| girth.exact())),
        ("width_in", Role::Width, request.width_in.map(Inches::exact)),
        ("thickness_in", Role::Thickness, request.thickness_in.map(Inches::exact)),
    ];
    let metric = [
        ("diameter_cm", Role::One, request.diameter_cm.map(Centimetres::exact)),
        ("small_diameter_cm", Role::Small, request.small_diameter_cm.map(Centimetres::exact)),
        ("middle_diameter_cm", Role::Middle, request.middle_diameter_cm.map(Centimetres::exact)),
        ("large_diameter_cm", Role::Large, request.large_diameter_cm.map(Centimetres::exact)),
    ];
    let of = |system: System| {
        move |(member, role, value): (&'static str, Role, Option<Exact>)| {
            value.map(|value| Given { member, role, system, value })
        }
    };
    let inches = inches.into_iter().filter_map(of(System::Inch));
    inches.chain(metric.into_iter().filter_map(of(System::Metric))).collect()
}

fn one_system(request: &DirectRequest, given: &[Given]) -> Result<(), ScaleProblem> {
    let metric_length = request.length_m.is_some().then_some("length_m");
    let inch_length = request.length_ft.is_some() || request.length_in.is_some();
    let metric = given.iter().find(|size| size.system == System::Metric).map(|size| size.member);
    let inch = inch_length || given.iter().any(|size| size.system == System::Inch);
    match metric.or(metric_length) {
        Some(member) if inch => Err(ScaleProblem::MixedSystems { member }),
        _ => Ok(()),
    }
}

/// Whether the rule takes a size of this kind.
fn takes(rule: RuleName, size: Given) -> bool {
    let facts = rule.facts();
    if size.system == System::Metric && !facts.units.contains(&VolumeUnit::CubicMetre) {
        return false;
    }
    match facts.takes {
        Takes::SmallEnd => matches!(size.role, Role::One | Role::Small),
        Takes::SmallEndOfEachSection => {
            matches!(size.role, Role::One | Role::Small | Role::Large | Role::Sections)
        }
        Takes::Middle => matches!(size.role, Role::One | Role::Middle),
        Takes::MiddleOrEnds => matches!(size.role, Role::One | Role::Middle | Role::Small | Role::Large),
        Takes::Ends => matches!(size.role, Role::Small | Role::Large),
        Takes::EndsAndMiddle => matches!(size.role, Role::Small | Role::Middle | Role::Large),
        Takes::Girth => size.role == Role::Girth,
        Takes::WidthAndThickness => matches!(size.role, Role::Width | Role::Thickness),
    }
}

/// The pairs of sizes of which a rule takes the one or the other.
const fn either_or(takes: Takes) -> &'static [(Role, Role)] {
    match takes {
        Takes::SmallEnd => &[(Role::One, Role::Small)],
        Takes::SmallEndOfEachSection => &[
            (Role::One, Role::Small),
            (Role::Sections, Role::One),
            (Role::Sections, Role::Small),
            (Role::Sections, Role::Large),
        ],
        Takes::Middle => &[(Role::One, Role::Middle)],
        Takes::MiddleOrEnds => &[
            (Role::One, Role::Middle),
            (Role::One, Role::Small),
            (Role::One, Role::Large),
            (Role::Middle, Role::Small),
            (Role::Middle, Role::Large),
        ],
        Takes::Ends | Takes::EndsAndMiddle | Takes::Girth | Takes::WidthAndThickness => &[],
    }
}

/// Refuses two sizes where the rule would use one and pass over the other.
fn one_name_each(takes: Takes, given: &[Given]) -> Result<(), ScaleProblem> {
    let find = |role: Role| given.iter().find(|size| size.role == role).map(|size| size.member);
    for (one, other) in either_or(takes) {
        if let (Some(first), Some(second)) = (find(*one), find(*other)) {
            return Err(ScaleProblem::SameSizeTwice { first, second });
        }
    }
    Ok(())
}

fn length(request: &DirectRequest) -> Result<(Exact, System), ScaleProblem> {
    if let Some(metres) = request.length_m {
        if request.rule.facts().units.contains(&VolumeUnit::CubicMetre) {
            return Ok((metres.exact(), System::Metric));
        }
        return Err(ScaleProblem::SizeNotUsed { member: "length_m", rule: request.rule });
    }
    match request.length_ft {
        Some(feet) => Ok((total_feet(feet, request.length_in)?, System::Inch)),
        None => Err(ScaleProblem::MissingMeasurement {
            member: "length_ft",
            reason: "every rule is entered with the length; with metric diameters give length_m",
        }),
    }
}

/// Refuses a choice that the rule does not offer.
fn choices(request: &DirectRequest, system: System) -> Result<(), ScaleProblem> {
    let (rule, facts) = (request.rule, request.rule.facts());
    if request.printed_cells_only && !facts.is_table {
        return Err(ScaleProblem::SizeNotUsed { member: "printed_cells_only", rule });
    }
    let Some(unit) = request.unit else { return Ok(()) };
    let metric = unit == VolumeUnit::CubicMetre;
    if facts.units.contains(&unit) && metric == (system == System::Metric) {
        return Ok(());
    }
    Err(ScaleProblem::UnitNotOffered {
        rule,
        unit,
        offered: "leave unit out, and the rule's own unit comes back",
    })
}
