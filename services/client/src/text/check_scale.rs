//! A check scale on paper: both scales side by side, the verdict, and what it comes to.

use kernel::Fixed;
use wire::{
    CheckMoneyView, CheckRatioView, CheckScaleComparison, CheckedStratumView, ComparedPieceView,
    OneScaleView, ScaleTotalsView, VolumeAdjustmentView,
};

use super::table::{Column, Table, hanging, indented};
use super::{facts, words};

/// A check scale as a paper for yard and office: the pieces, the totals, the ratio with its interval, how large a sample
/// would have to be, the verdict, the scaler's record, and the effect in money.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let paper = client::text::check_scale(&client.show_check_scale(id, &client::ComparisonQuery::default()).await?);
/// assert!(paper.starts_with("CHECK SCALE\n"));
/// # Ok(()) }
/// ```
#[must_use]
pub fn check_scale(shown: &CheckScaleComparison) -> String {
    let head = &shown.check_scale;
    let mut paper = "CHECK SCALE\n\n".to_owned();
    paper.push_str(&facts(&[
        ("Contract", head.contract_title.clone()),
        ("Lot", format!("{} to {}", words::day(head.from), words::day(head.to))),
        ("Scaler", head.scaler.clone().unwrap_or_else(|| "several".to_owned())),
        ("Checker", head.checker.clone()),
        ("Checked on", format!("{}, {}", words::day(head.checked_on), head.notice.name())),
    ]));
    paper.push_str(&format!("\n{}", pieces(&shown.pieces)));
    for stratum in &shown.strata {
        paper.push_str(&one_stratum(stratum, shown.confidence_percent));
    }
    paper.push_str("\nVerdict\n\n");
    for says in &shown.verdict.says {
        paper.push_str(&hanging(says, 2));
    }
    if shown.corrected_since > 0 {
        let count = words::count(shown.corrected_since, "piece stands", "pieces stand");
        paper.push_str(&hanging(&format!("{count} on tickets corrected since the check"), 2));
    }
    if let Some(record) = &shown.scaler_record {
        let checks = words::count(record.checks.len(), "check", "checks");
        let failures = record.failures_in_a_row;
        let says = format!("{}: {checks}, the last {failures} in a row beyond tolerance", record.scaler);
        paper.push_str(&hanging(&says, 2));
        paper.push_str(&record.says.as_deref().map(|says| hanging(says, 2)).unwrap_or_default());
    }
    paper.push_str(&shown.money.as_ref().map(money).unwrap_or_default());
    for adjustment in &shown.adjustments {
        paper.push_str(&hanging(&one_adjustment(adjustment), 2));
    }
    paper.push('\n');
    for caution in &shown.cautions {
        paper.push_str(&indented(caution, 2));
    }
    paper
}

fn pieces(pieces: &[ComparedPieceView]) -> String {
    let mut table = Table::new([
        Column::text("Ticket", 10),
        Column::number("Piece"),
        Column::text("Species", 22),
        Column::number("Gross"),
        Column::number("Net"),
        Column::number("Checked"),
        Column::number("Net"),
        Column::text("", 10),
    ]);
    for piece in pieces {
        let figure = |side: &Option<OneScaleView>, which: fn(&OneScaleView) -> Option<Fixed>| {
            side.as_ref().and_then(which).map(|figure| figure.to_string()).unwrap_or_default()
        };
        let species = piece.original.as_ref().or(piece.check.as_ref()).map(|side| side.species.clone());
        let says = match (&piece.original, &piece.check) {
            (None, _) => "one too many",
            (_, None) => "missing",
            _ => "",
        };
        table.row([
            format!("{} {}", piece.ticket.book, piece.ticket.number),
            piece.piece.map(|number| number.to_string()).unwrap_or_default(),
            species.unwrap_or_default(),
            figure(&piece.original, |side| side.gross),
            figure(&piece.original, |side| side.net),
            figure(&piece.check, |side| side.gross),
            figure(&piece.check, |side| side.net),
            says.to_owned(),
        ]);
        for side in [&piece.original, &piece.check].into_iter().flatten() {
            side.cannot.iter().for_each(|why| table.note(format!("Left out: {why}.")));
            side.working.iter().for_each(|step| table.note(step.clone()));
        }
        let differs = differs(piece);
        if !differs.is_empty() {
            table.note(differs);
        }
    }
    table.to_string()
}

/// What else the two say differently of a piece.
fn differs(piece: &ComparedPieceView) -> String {
    let (Some(original), Some(check)) = (&piece.original, &piece.check) else { return String::new() };
    let mut parts = Vec::new();
    if original.species != check.species {
        parts.push(format!("species: {}, checked {}", original.species, check.species));
    }
    if original.grade != check.grade {
        let grade = |side: &OneScaleView| side.grade.clone().unwrap_or_else(|| "none".to_owned());
        parts.push(format!("grade: {}, checked {}", grade(original), grade(check)));
    }
    if original.length != check.length {
        let length = |side: &OneScaleView| side.length.map(|length| length.to_string()).unwrap_or_default();
        parts.push(format!("length: {}, checked {}", length(original), length(check)));
    }
    parts.join("; ")
}

fn one_stratum(stratum: &CheckedStratumView, confidence: u8) -> String {
    let unit = stratum.unit.map_or("without volume", words::volume_unit);
    let mut table = Table::new([
        Column::text("", 12),
        Column::number("Pieces"),
        Column::number("Length"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::number("Defect %"),
    ]);
    for (name, totals) in [("By scaler", &stratum.original), ("By checker", &stratum.check)] {
        let ScaleTotalsView { pieces, length, gross, net, defect_percent } = totals;
        let defect = defect_percent.map(|percent| percent.to_string()).unwrap_or_default();
        let cells = [pieces.to_string(), length.to_string(), gross.to_string(), net.to_string(), defect];
        table.row(std::iter::once(name.to_owned()).chain(cells));
    }
    let mut text = format!("\n{}, {unit}\n\n{table}\n", words::product(stratum.product));
    for (name, ratio) in [("gross", &stratum.gross_ratio), ("net", &stratum.net_ratio)] {
        text.push_str(
            &ratio.map(|ratio| hanging(&in_words(name, &ratio, confidence), 2)).unwrap_or_default(),
        );
    }
    let agreement = stratum.agreement;
    text.push_str(&hanging(
        &format!(
            "Both agree on the species of {} and on the grade of {} of {}.",
            agreement.species,
            agreement.grade,
            words::count(agreement.pieces, "piece", "pieces"),
        ),
        2,
    ));
    for says in stratum.advice.iter().flat_map(|advice| &advice.says) {
        text.push_str(&hanging(says, 2));
    }
    text
}

fn in_words(name: &str, ratio: &CheckRatioView, confidence: u8) -> String {
    let mut says = format!("Check over scale, {name}: {}", ratio.ratio);
    if let (Some(error), Some(from), Some(to)) = (ratio.standard_error, ratio.from, ratio.to) {
        says.push_str(&format!(
            ", standard error {error}; {from} to {to} at {confidence} percent confidence"
        ));
    }
    format!("{says}; the lot comes to {} by it.", ratio.estimate)
}

fn money(money: &CheckMoneyView) -> String {
    let mut table = Table::new([
        Column::text("Rate", 22),
        Column::number("In the lot"),
        Column::number("Ratio"),
        Column::number("Change"),
        Column::number("Price"),
        Column::number("Amount"),
    ]);
    for line in &money.lines {
        table.row([
            format!("{}: {}", line.task, line.rate_name),
            line.quantity.to_string(),
            line.ratio.to_string(),
            line.change.to_string(),
            line.price.to_string(),
            line.amount.amount_text(),
        ]);
    }
    let mut text = "\nIn money\n\n".to_owned();
    if !money.lines.is_empty() {
        text.push_str(&format!("{table}\n"));
    }
    text.extend(money.says.iter().map(|says| hanging(says, 2)));
    text
}

fn one_adjustment(adjustment: &VolumeAdjustmentView) -> String {
    let mut says = format!("Adjusted by {}: {}", adjustment.made_by, adjustment.reason);
    if let Some(although) = &adjustment.although {
        says.push_str(&format!("; although: {although}"));
    }
    if let Some(reversed) = &adjustment.reversed {
        says.push_str(&format!("; taken back by {}: {}", reversed.reversed_by, reversed.reason));
    }
    says
}
