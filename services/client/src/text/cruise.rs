//! What a cruise says of a tract, and what was cut beside it.

use audit::{Confidence, CruiseEstimate, SamplingError};
use kernel::Fixed;
use wire::{CruiseView, CutOutAudit, CutOutRow};

use super::overrun::left_out;
use super::table::{Column, Table, hanging, indented};
use super::{facts, words};

/// The cruise as a paper: how it was done, what stands by species and in all, and how sure that is. Figures are rounded to
/// one decimal, which the paper says.
#[must_use]
pub fn cruise(view: &CruiseView) -> String {
    let (summary, estimates) = (&view.summary, &view.estimates);
    let mut paper = "CRUISE\n\n".to_owned();
    let tract = estimates
        .tract
        .map_or_else(|| "not measured".to_owned(), |area| format!("{} {}", area.exact(), area.unit()));
    let method = match summary.method.as_str() {
        "fixed_plots" => words::count(summary.plots, "plot of one size", "plots of one size"),
        "points" => words::count(summary.plots, "point", "points"),
        _ => "every tree".to_owned(),
    };
    paper.push_str(&facts(&[
        ("Job", summary.job_name.clone()),
        ("Done on", words::day(summary.cruised_on)),
        ("Cruiser", summary.cruiser.clone()),
        ("Looked at", format!("{method}; {}", words::count(summary.trees, "tree", "trees"))),
        ("Tract", tract),
        ("Cruise", summary.cruise_id.to_string()),
    ]));
    if let Some(withdrawn) = &summary.withdrawn {
        paper.push_str(&indented(&format!("Taken back by {}: {}", withdrawn.made_by, withdrawn.reason), 2));
    }
    paper.push('\n');
    let unit = estimates.unit.map_or("nothing", words::volume_unit);
    paper.push_str(&format!("On the tract, in {unit}\n\n"));
    paper.push_str(&estimates_table(view));
    paper.push('\n');
    paper.push_str(&how_sure(view));
    paper.push_str(&indented(&estimates.caution, 2));
    paper
}

fn estimates_table(view: &CruiseView) -> String {
    let mut table = Table::new([
        Column::text("Species", 20),
        Column::number("Stems"),
        Column::number("Volume"),
        Column::number("From"),
        Column::number("To"),
        Column::number("Error %"),
    ]);
    let estimates = &view.estimates;
    for one in &estimates.species {
        table.row(estimate_cells(&one.species, &one.estimate));
    }
    table.row(estimate_cells("all", &estimates.all));
    table.to_string()
}

fn estimate_cells(of: &str, estimate: &CruiseEstimate) -> [String; 6] {
    let error = |figure: fn(&SamplingError) -> Option<Fixed>| {
        estimate.sampling_error.as_ref().and_then(figure).map(rounded).unwrap_or_default()
    };
    [
        of.to_owned(),
        rounded(estimate.stems),
        rounded(estimate.volume),
        error(|error| Some(error.from)),
        error(|error| Some(error.to)),
        error(|error| error.percent),
    ]
}

/// To one decimal, halves away from zero: enough for a paper; the figures themselves are finer.
fn rounded(figure: Fixed) -> String {
    let tenth = kernel::Exact::fraction(1, 10);
    let rounded = figure.exact().rounded_to(tenth, kernel::Rounding::HalfUp);
    rounded.map_or_else(|_| figure.to_string(), |rounded| rounded.to_string())
}

fn confidence(confidence: Confidence) -> String {
    format!("{} percent", confidence.percent())
}

fn how_sure(view: &CruiseView) -> String {
    let (summary, estimates) = (&view.summary, &view.estimates);
    let mut notes = vec![format!("Volume by {}.", summary.formula.says)];
    notes.push(format!("It holds for {}.", summary.formula.range));
    let memory = if summary.formula.from_memory { " Recalled, not checked against print." } else { "" };
    notes.push(format!("Source: {}.{memory}", summary.formula.source));
    notes.push(match (&estimates.all.sampling_error, summary.method.as_str()) {
        (_, "complete") => "Every tree was tallied, so there is no sampling error.".to_owned(),
        (None, _) => "A single plot says nothing of how far the estimate may be off.".to_owned(),
        (Some(_), _) => {
            format!("From and to are the ends of an interval of {}.", confidence(estimates.confidence))
        }
    });
    if let Some(room) = estimates.room_for_plots {
        notes.push(format!(
            "The tract has room for {room} such plots; the error is lessened for those looked at."
        ));
    }
    if let Some(needed) = &estimates.plots_needed {
        notes.push(format!(
            "To come within {} percent it would take {} plots in all (t = {}).",
            needed.allowed_percent, needed.plots, needed.t
        ));
    }
    notes.push("Figures here are rounded to one decimal, halves away from zero.".to_owned());
    notes.iter().map(|note| hanging(note, 2)).collect()
}

/// The cut beside the estimate, as a paper.
#[must_use]
pub fn cut_out(audit: &CutOutAudit) -> String {
    let mut paper = "CUT-OUT AGAINST CRUISE\n\n".to_owned();
    let to = audit.to.map_or_else(|| "now".to_owned(), words::day);
    paper.push_str(&facts(&[
        ("Scale of", audit.contract_title.clone()),
        ("From", words::day(audit.from)),
        ("To", to),
        ("In", audit.unit.map_or("no common unit", words::volume_unit).to_owned()),
    ]));
    paper.push('\n');
    match (&audit.all, &audit.not_comparable) {
        (Some(all), _) => paper.push_str(&cut_table(&audit.species, all)),
        (None, reason) => {
            let reason = reason.as_deref().unwrap_or("there is nothing to compare");
            paper.push_str(&hanging(&format!("Not comparable: {reason}."), 2));
        }
    }
    paper.push('\n');
    let mut notes = vec![format!("The cruise by {}.", audit.cruise_formula)];
    if !audit.contract_rules.is_empty() {
        notes.push(format!("The cut by {}.", audit.contract_rules.join("; ")));
    }
    if audit.rules_differ {
        notes.push(
            "The two were not measured by one rule: some of the difference is the rules' own.".to_owned(),
        );
    }
    notes.push(format!(
        "Within: whether the gross cut lies in the interval of {}.",
        confidence(audit.confidence)
    ));
    notes.extend(audit.left_out.iter().map(left_out));
    notes.iter().for_each(|note| paper.push_str(&hanging(note, 2)));
    paper.push_str(&indented(&audit.caution, 2));
    paper
}

fn cut_table(species: &[CutOutRow], all: &CutOutRow) -> String {
    let mut table = Table::new([
        Column::text("Species", 18),
        Column::number("Expected"),
        Column::number("Gross cut"),
        Column::number("Net cut"),
        Column::number("Gross %"),
        Column::text("Within", 6),
        Column::number("Standing"),
    ]);
    for row in species.iter().chain([all]) {
        let gross = row.held.first();
        let within = gross.and_then(|held| held.within_interval);
        table.row([
            row.species.clone().unwrap_or_else(|| "all".to_owned()),
            row.estimate.as_ref().map(|estimate| rounded(estimate.volume)).unwrap_or_default(),
            rounded(row.gross),
            rounded(row.net),
            gross.and_then(|held| held.percent).map(|percent| percent.to_string()).unwrap_or_default(),
            within.map_or("", |within| if within { "yes" } else { "no" }).to_owned(),
            row.still_standing.map(rounded).unwrap_or_default(),
        ]);
    }
    table.to_string()
}
