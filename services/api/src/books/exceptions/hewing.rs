//! Hewn pieces held against the logs they were hewn from.

use audit::{Fit, HewnSection, Spread, ratio};
use kernel::{Exact, Fixed, Product};
use scaling::{HewnTimber, LogSizes, Piece, Section};
use storage::{Found, HewnStick};
use wire::{ExceptionKind, ExceptionView};

use super::listed::{begin, named};
use super::standing_out::{no_spread, statistics};
use crate::http::refusal::Refusal;

type Hewn = Found<HewnStick>;

/// A section of a piece, with where it was measured.
struct Held {
    place: &'static str,
    section: HewnSection,
}

/// Finds what is more than the log could give, and what is far less than it should.
pub(super) fn find(pieces: &[Hewn], cannot_be_told: &mut Vec<String>) -> Result<Vec<ExceptionView>, Refusal> {
    let mut views = Vec::new();
    for product in [Product::HewnTimber, Product::Tie] {
        let mut shares: Vec<(Fixed, bool, &Hewn)> = Vec::new();
        for piece in pieces.iter().filter(|piece| piece.figures.facts.product() == product) {
            let held = held(&piece.figures)?;
            if let Some(view) = too_much(piece, &held)? {
                views.push(view);
                continue;
            }
            if let Some(first) = held.first() {
                let short = first.section.fit()? == Fit::Short;
                shares.push((ratio(first.section.share_of_inscribed()?, Exact::ONE)?, short, piece));
            }
        }
        views.extend(too_little(product, &shares, cannot_be_told)?);
    }
    Ok(views)
}

/// The sections whose log was measured at the same place, the one at the small end first.
fn held(stick: &HewnStick) -> Result<Vec<Held>, Refusal> {
    match &stick.facts {
        Piece::HewnTimber(timber) => of_timber(timber, stick.log.as_ref()),
        Piece::Tie(tie) => {
            let own = tie.log_diameter_in.map(|diameter| diameter.exact());
            let diameter = diameters(stick.log.as_ref())?.map(|[small, _, _]| small).unwrap_or(own);
            Ok(diameter
                .map(|log_diameter_in| Held {
                    place: "at the small end",
                    section: HewnSection {
                        width_in: tie.width_in.exact(),
                        thickness_in: tie.thickness_in.exact(),
                        wane_in2: Exact::ZERO,
                        log_diameter_in,
                    },
                })
                .into_iter()
                .collect())
        }
        Piece::Log(_) | Piece::Pole(_) | Piece::RankedPile(_) => Ok(Vec::new()),
    }
}

/// The log's diameters at the small end, at mid-length and at the large end, in inches; none for a log in centimetres.
fn diameters(log: Option<&Piece>) -> Result<Option<[Option<Exact>; 3]>, Refusal> {
    let Some(Piece::Log(log)) = log else { return Ok(None) };
    let LogSizes::InchFoot(log) = &log.sizes else { return Ok(None) };
    let small = log.small_diameter_in.average()?;
    let large = log.large_diameter_in.map(scaling::Readings::average).transpose()?;
    let middle = match (log.middle_diameter_in, large) {
        (Some(middle), _) => Some(middle.average()?),
        (None, Some(large)) => Some(small.plus(large)?.over(Exact::of(2))?),
        (None, None) => None,
    };
    Ok(Some([Some(small), middle, large]))
}

fn of_timber(timber: &HewnTimber, log: Option<&Piece>) -> Result<Vec<Held>, Refusal> {
    let Some(diameters) = diameters(log)? else { return Ok(Vec::new()) };
    let sections = [
        ("at the small end", timber.small_end()),
        ("at mid-length", timber.middle()),
        ("at the large end", timber.large_end()),
    ];
    let mut held = Vec::new();
    for ((place, section), diameter) in sections.into_iter().zip(diameters) {
        if let (Some(section), Some(log_diameter_in)) = (section, diameter) {
            held.push(Held { place, section: measured(section, log_diameter_in)? });
        }
    }
    Ok(held)
}

fn measured(section: &Section, log_diameter_in: Exact) -> Result<HewnSection, Refusal> {
    Ok(HewnSection {
        width_in: section.width_in().exact(),
        thickness_in: section.thickness_in().exact(),
        wane_in2: section.wane_area()?,
        log_diameter_in,
    })
}

/// Feet of a log or hewn piece in inches and feet.
fn length(piece: &Piece) -> Result<Option<Exact>, Refusal> {
    let (feet, inches) = match piece {
        Piece::Log(log) => match &log.sizes {
            LogSizes::InchFoot(log) => (log.length_ft, log.length_in),
            LogSizes::Metric(_) => return Ok(None),
        },
        Piece::HewnTimber(timber) => (timber.length_ft, timber.length_in),
        Piece::Tie(tie) => (tie.length_ft, tie.length_in),
        Piece::Pole(_) | Piece::RankedPile(_) => return Ok(None),
    };
    let inches = inches.map_or(Exact::ZERO, |inches| inches.exact());
    Ok(Some(feet.exact().plus(inches.over(Exact::of(12))?)?))
}

/// A piece that its log could not give.
fn too_much(piece: &Hewn, held: &[Held]) -> Result<Option<ExceptionView>, Refusal> {
    for one in held {
        if one.section.fit()? == Fit::Impossible {
            let share = ratio(one.section.share_of_inscribed()?, Exact::ONE)?;
            let says = format!(
                "{}: {} by {} inches {} does not come out of a log of {} inches there: {share} of the square inscribed \
                 in it",
                named(&piece.tickets),
                one.section.width_in,
                one.section.thickness_in,
                one.place,
                one.section.log_diameter_in
            );
            return Ok(Some(ExceptionView {
                figure: Some("section as a share of the square inscribed in the log".to_owned()),
                expected: Some(Exact::ONE),
                found: Some(share.exact()),
                ..view(piece, says)
            }));
        }
    }
    let own = length(&piece.figures.facts)?;
    let log = piece.figures.log.as_ref().map(length).transpose()?.flatten();
    let (Some(own), Some(log)) = (own, log) else { return Ok(None) };
    Ok((own > log).then(|| {
        let says = format!("{}: hewn {own} feet long from a log of {log} feet", named(&piece.tickets));
        ExceptionView {
            figure: Some("feet of length".to_owned()),
            expected: Some(log),
            found: Some(own),
            ..view(piece, says)
        }
    }))
}

/// Pieces that are far less than their logs should give.
fn too_little(
    product: Product,
    shares: &[(Fixed, bool, &Hewn)],
    cannot_be_told: &mut Vec<String>,
) -> Result<Vec<ExceptionView>, Refusal> {
    if shares.is_empty() {
        return Ok(Vec::new());
    }
    let group = format!(
        "section as a share of the square inscribed in the log, {}",
        product.name().replace('_', " ")
    );
    let figures: Vec<Fixed> = shares.iter().map(|(share, _, _)| *share).collect();
    let Some(spread) = Spread::of(&figures)? else {
        cannot_be_told.push(no_spread(&group, figures.len()));
        return Ok(Vec::new());
    };
    let mut views = Vec::new();
    for (share, short, piece) in shares {
        if *short && spread.stands_out_low(*share)? {
            let says = format!(
                "{}: the section is {share} of the square inscribed in its log, where its like have a median of {}",
                named(&piece.tickets),
                spread.median
            );
            views.push(ExceptionView {
                figure: Some("section as a share of the square inscribed in the log".to_owned()),
                expected: Some(spread.median),
                found: Some(share.exact()),
                statistics: Some(statistics(&spread, *share, group.clone())?),
                ..view(piece, says)
            });
        }
    }
    Ok(views)
}

fn view(piece: &Hewn, says: String) -> ExceptionView {
    ExceptionView {
        product: Some(piece.figures.facts.product()),
        species: Some(piece.figures.facts.species().to_string()),
        stick_number: piece.figures.facts.stick_number().map(ToString::to_string),
        ..begin(ExceptionKind::HewnYieldStandsOut, piece, says)
    }
}
