//! Seals, what a check found, and what was verified.

use seal::Seal;
use wire::SealCheck;

use super::table::{Column, Table, hanging};
use super::{facts, words};
use crate::verify::Report;

/// A seal, to be kept.
///
/// ```no_run
/// # fn example(seal: &seal::Seal) {
/// print!("{}", client::text::seal(seal));
/// # }
/// ```
#[must_use]
pub fn seal(seal: &Seal) -> String {
    let stated = &seal.statement;
    let mut rows = vec![
        ("Seal", stated.seal_id.to_string()),
        ("Made", format!("{} by {}", stated.made_at, stated.made_by)),
        ("Records", stated.tree_size.to_string()),
        ("Root", stated.root_hash.to_string()),
        ("Key", stated.public_key.to_string()),
    ];
    if let Some(settlement) = stated.settlement_id {
        rows.insert(2, ("With settlement", settlement.to_string()));
    }
    facts(&rows)
}

/// Seals, one to a line.
///
/// ```no_run
/// # fn example(seals: &[seal::Seal]) {
/// print!("{}", client::text::seals(seals));
/// # }
/// ```
#[must_use]
pub fn seals(seals: &[Seal]) -> String {
    let mut table =
        Table::new([Column::text("Seal", 36), Column::text("Made", 27), Column::number("Records")]);
    for seal in seals {
        let stated = &seal.statement;
        table.row([stated.seal_id.to_string(), stated.made_at.to_string(), stated.tree_size.to_string()]);
    }
    table.to_string()
}

/// What the service found when it held its books against a seal.
///
/// ```no_run
/// # fn example(check: &wire::SealCheck) {
/// print!("{}", client::text::seal_check(check));
/// # }
/// ```
#[must_use]
pub fn seal_check(check: &SealCheck) -> String {
    let mut text: String = check.findings.iter().map(|finding| hanging(&finding.says, 2)).collect();
    if check.findings_left_out > 0 {
        text.push_str(&hanging(&format!("and {} more", check.findings_left_out), 2));
    }
    let records = words::count(check.records_checked, "record", "records");
    let seals = words::count(check.seals_checked, "seal", "seals");
    let came_to = if check.sound { "nothing is wrong" } else { "the books are not what was sealed" };
    text.push_str(&hanging(&format!("{records} and {seals} checked by the service itself: {came_to}."), 0));
    text
}

/// What was verified, and what was not.
///
/// ```no_run
/// # fn example(report: &client::verify::Report) {
/// print!("{}", client::text::verified(report));
/// # }
/// ```
#[must_use]
pub fn verified(report: &Report) -> String {
    let claim = |claim: &crate::verify::Claim| {
        hanging(&format!("{}: {}.", if claim.shown { "shown" } else { "WRONG" }, claim.says), 0)
    };
    let claims: String = report.claims.iter().map(claim).collect();
    let open: String =
        report.not_shown.iter().map(|says| hanging(&format!("not shown: {says}."), 0)).collect();
    claims + &open
}
