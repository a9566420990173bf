//! Volumes that stand out for the scaler, the species or the size of a stick.

use std::collections::BTreeMap;

use audit::{LEAST_FIGURES, LIMIT, Spread, ratio};
use kernel::{Exact, Fixed, TermsId, TicketId, VolumeUnit};
use scaling::{LogSizes, Piece};
use storage::{Found, ScaledStick, TicketPieces};
use wire::{ExceptionKind, ExceptionStatistics, ExceptionView};

use super::listed::{begin, named};
use crate::http::refusal::Refusal;

/// A scaler is judged from so many tickets of a species on. Common practice, no source.
const LEAST_TICKETS: usize = 5;

/// By how much of gross scale a scaler's share of defect must differ before it matters: a twentieth. Common practice, no
/// source.
const SHARE_THAT_MATTERS: Exact = Exact::fraction(1, 20);

type Stick = Found<ScaledStick>;

/// Finds them among the logs.
pub(super) fn find(
    sticks: &[Stick],
    cannot_be_told: &mut Vec<String>,
) -> Result<Vec<ExceptionView>, Refusal> {
    let mut views = by_scaler(sticks, cannot_be_told)?;
    views.extend(by_species(sticks, cannot_be_told)?);
    views.extend(by_size(sticks, cannot_be_told)?);
    Ok(views)
}

/// How a figure stands in its group.
pub(super) fn statistics(
    spread: &Spread,
    figure: Fixed,
    group: String,
) -> Result<ExceptionStatistics, Refusal> {
    Ok(ExceptionStatistics {
        method: spread.measure.method().to_owned(),
        group,
        figures: u32::try_from(spread.figures).unwrap_or(u32::MAX),
        measure: spread.measure,
        spread: spread.deviation,
        score: spread.shown_score(figure)?,
        limit: LIMIT,
    })
}

/// Says of a group that has no spread why not.
pub(super) fn no_spread(group: &str, figures: usize) -> String {
    if figures < LEAST_FIGURES {
        format!("{group}: {figures} figures, and {LEAST_FIGURES} are needed")
    } else {
        format!("{group}: all {figures} figures are the same")
    }
}

fn lower(piece: &Piece) -> String {
    piece.species().lower_case()
}

/// Gross and net of one scaler's tickets of a species.
#[derive(Default)]
struct Scale {
    tickets: BTreeMap<TicketId, (Exact, Exact)>,
    found: Vec<TicketPieces>,
    last: Option<jiff::civil::Date>,
}

impl Scale {
    /// What was taken off for defect, as a share of gross scale: of each ticket, and of all of them together.
    fn shares(&self) -> Result<(Vec<Fixed>, Fixed), Refusal> {
        let mut shares = Vec::with_capacity(self.tickets.len());
        let (mut gross_of_all, mut net_of_all) = (Exact::ZERO, Exact::ZERO);
        for (gross, net) in self.tickets.values() {
            shares.push(ratio(gross.minus(*net)?, *gross)?);
            (gross_of_all, net_of_all) = (gross_of_all.plus(*gross)?, net_of_all.plus(*net)?);
        }
        let whole = ratio(gross_of_all.minus(net_of_all)?, gross_of_all)?;
        Ok((shares, whole))
    }
}

type Scalers = BTreeMap<String, Scale>;

fn scalers(sticks: &[Stick]) -> Result<BTreeMap<(String, VolumeUnit), Scalers>, Refusal> {
    let mut groups: BTreeMap<(String, VolumeUnit), Scalers> = BTreeMap::new();
    for stick in sticks {
        let ScaledStick { scaler, facts, unit, gross, net, .. } = &stick.figures;
        let Some(ticket) = stick.tickets.first() else { continue };
        if *gross <= 0 {
            continue;
        }
        let group = groups.entry((lower(facts), *unit)).or_default();
        let scale = group.entry(scaler.clone()).or_default();
        let sums = scale.tickets.entry(ticket.ticket_id).or_insert_with(|| {
            scale.found.push(TicketPieces { pieces: Vec::new(), ..ticket.clone() });
            (Exact::ZERO, Exact::ZERO)
        });
        sums.0 = sums.0.plus(Fixed::from_millionths(*gross).exact())?;
        sums.1 = sums.1.plus(Fixed::from_millionths(*net).exact())?;
        scale.last = scale.last.max(Some(stick.day));
    }
    Ok(groups)
}

fn by_scaler(sticks: &[Stick], cannot_be_told: &mut Vec<String>) -> Result<Vec<ExceptionView>, Refusal> {
    let mut views = Vec::new();
    for ((species, _), scalers) in scalers(sticks)? {
        if scalers.len() < 2 {
            continue;
        }
        for (scaler, scale) in &scalers {
            let others: Vec<Fixed> = scalers
                .iter()
                .filter(|(other, _)| *other != scaler)
                .map(|(_, scale)| Ok(scale.shares()?.0))
                .collect::<Result<Vec<_>, Refusal>>()?
                .concat();
            let group = format!("defect of {species}, tickets of all scalers but {scaler}");
            if scale.tickets.len() < LEAST_TICKETS {
                let tickets = scale.tickets.len();
                cannot_be_told.push(format!(
                    "defect of {species}: {scaler} has {tickets} tickets, and {LEAST_TICKETS} are needed"
                ));
                continue;
            }
            let Some(spread) = Spread::of(&others)? else {
                cannot_be_told.push(no_spread(&group, others.len()));
                continue;
            };
            let share = scale.shares()?.1;
            let apart = share.exact().minus(spread.median)?;
            let matters = apart >= SHARE_THAT_MATTERS || Exact::ZERO.minus(apart)? >= SHARE_THAT_MATTERS;
            if matters && spread.stands_out(share)? {
                views.push(scaler_stands_out(scaler, &species, scale, &spread, share, group)?);
            }
        }
    }
    Ok(views)
}

fn scaler_stands_out(
    scaler: &str,
    species: &str,
    scale: &Scale,
    spread: &Spread,
    share: Fixed,
    group: String,
) -> Result<ExceptionView, Refusal> {
    let found =
        Found { day: scale.last.unwrap_or_default(), job: None, tickets: scale.found.clone(), figures: () };
    let says = format!(
        "{scaler} takes {share} of the gross scale of {species} off for defect; the tickets of the other scalers have a \
         median of {}",
        spread.median
    );
    Ok(ExceptionView {
        species: Some(species.to_owned()),
        made_by: Some(scaler.to_owned()),
        figure: Some("share of gross scale taken off for defect".to_owned()),
        expected: Some(spread.median),
        found: Some(share.exact()),
        statistics: Some(statistics(spread, share, group)?),
        ..begin(ExceptionKind::VolumeStandsOut, &found, says)
    })
}

/// A log's diameter, its length, and what they are measured in.
fn sizes(piece: &Piece) -> Result<Option<(Exact, Exact, &'static str)>, Refusal> {
    let Piece::Log(log) = piece else { return Ok(None) };
    Ok(Some(match &log.sizes {
        LogSizes::InchFoot(log) => {
            let inches = log.length_in.map_or(Exact::ZERO, |inches| inches.exact());
            let length = log.length_ft.exact().plus(inches.over(Exact::of(12))?)?;
            (log.small_diameter_in.average()?, length, "inches")
        }
        LogSizes::Metric(log) => (log.small_diameter_cm.average()?, log.length_m.exact(), "centimetres"),
    }))
}

/// A figure beyond twice the middle of its group, or below half of it.
fn far_off(spread: &Spread, figure: Fixed) -> Result<bool, Refusal> {
    let twice = spread.median.times(Exact::of(2))?;
    let half = spread.median.over(Exact::of(2))?;
    Ok(spread.stands_out(figure)? && (figure.exact() > twice || figure.exact() < half))
}

fn by_species(sticks: &[Stick], cannot_be_told: &mut Vec<String>) -> Result<Vec<ExceptionView>, Refusal> {
    let mut groups: BTreeMap<(String, &str), Vec<(Fixed, &Stick)>> = BTreeMap::new();
    for stick in sticks {
        if let Some((diameter, _, unit)) = sizes(&stick.figures.facts)? {
            let figure = ratio(diameter, Exact::ONE)?;
            groups.entry((lower(&stick.figures.facts), unit)).or_default().push((figure, stick));
        }
    }
    let mut views = Vec::new();
    for ((species, unit), members) in groups {
        let figures: Vec<Fixed> = members.iter().map(|(figure, _)| *figure).collect();
        let group = format!("diameters of {species} logs, in {unit}");
        let Some(spread) = Spread::of(&figures)? else {
            cannot_be_told.push(no_spread(&group, figures.len()));
            continue;
        };
        for (figure, stick) in members {
            if far_off(&spread, figure)? {
                let says = format!(
                    "{}: a {species} log of {figure} {unit}, where the logs of the species have a median of {}",
                    named(&stick.tickets),
                    spread.median
                );
                views.push(ExceptionView {
                    figure: Some(format!("{unit} of diameter")),
                    ..stick_stands_out(stick, says, &spread, figure, group.clone())?
                });
            }
        }
    }
    Ok(views)
}

fn stick_stands_out(
    stick: &Stick,
    says: String,
    spread: &Spread,
    figure: Fixed,
    group: String,
) -> Result<ExceptionView, Refusal> {
    let mut view = ExceptionView {
        product: Some(kernel::Product::Log),
        species: Some(stick.figures.facts.species().to_string()),
        expected: Some(spread.median),
        found: Some(figure.exact()),
        statistics: Some(statistics(spread, figure, group)?),
        ..begin(ExceptionKind::VolumeStandsOut, stick, says)
    };
    view.links.extend(stick.tickets.iter().map(|ticket| format!("/v1/tickets/{}/working", ticket.ticket_id)));
    Ok(view)
}

/// Logs that a rule should give about the same content for each foot: one terms, one whole inch of diameter (or two
/// centimetres), lengths within eight feet (or two and a half metres).
type SizeClass = (TermsId, VolumeUnit, i128, i128, &'static str);

fn size_class(stick: &ScaledStick) -> Result<Option<(SizeClass, Fixed)>, Refusal> {
    let Some((diameter, length, unit)) = sizes(&stick.facts)?.filter(|_| !stick.cull && stick.gross > 0)
    else {
        return Ok(None);
    };
    let (across, along) = match unit {
        "inches" => (Exact::ONE, Exact::of(8)),
        _ => (Exact::of(2), Exact::fraction(5, 2)),
    };
    let class =
        (stick.terms_id, stick.unit, diameter.over(across)?.floor(), length.over(along)?.floor(), unit);
    Ok(Some((class, ratio(Fixed::from_millionths(stick.gross).exact(), length)?)))
}

fn by_size(sticks: &[Stick], cannot_be_told: &mut Vec<String>) -> Result<Vec<ExceptionView>, Refusal> {
    let mut groups: BTreeMap<SizeClass, Vec<(Fixed, &Stick)>> = BTreeMap::new();
    for stick in sticks {
        if let Some((class, figure)) = size_class(&stick.figures)? {
            groups.entry(class).or_default().push((figure, stick));
        }
    }
    let mut views = Vec::new();
    let mut small = 0_usize;
    for ((_, unit, across, _, system), members) in groups {
        let figures: Vec<Fixed> = members.iter().map(|(figure, _)| *figure).collect();
        let Some(spread) = Spread::of(&figures)? else {
            small = small.saturating_add(usize::from(figures.len() < LEAST_FIGURES));
            continue;
        };
        let (class, long) = if system == "inches" {
            (format!("{across} inches"), "foot")
        } else {
            (format!("{} centimetres", across.saturating_mul(2)), "metre")
        };
        let group = format!(
            "gross scale for each {long} of length, logs of {class} of about one length under one terms"
        );
        for (figure, stick) in members {
            if far_off(&spread, figure)? {
                let says = format!(
                    "{}: {figure} {} for each {long} of a log of {class}, where its like have a median of {}",
                    named(&stick.tickets),
                    unit.name().replace('_', " "),
                    spread.median
                );
                views.push(ExceptionView {
                    figure: Some(format!("gross scale for each {long} of length")),
                    ..stick_stands_out(stick, says, &spread, figure, group.clone())?
                });
            }
        }
    }
    if small > 0 {
        cannot_be_told.push(format!(
            "gross scale by size: {small} classes of diameter and length have fewer than {LEAST_FIGURES} logs"
        ));
    }
    Ok(views)
}
