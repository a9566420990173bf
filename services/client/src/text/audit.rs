//! Volume against pay, contract by contract.

use kernel::{Exact, NumberError, Rounding};
use wire::{AuditPayRow, AuditVolumeRow, ContractAudit, Party, VolumeAgainstPay};

use super::table::{Column, Table, indented};
use super::{amounts, facts, words};

/// An audit as a paper for the contractor or the mill: for each contract what was scaled and what was paid for it.
///
/// ```
/// let audit = serde_json::from_str(r#"{
///     "from": "2031-06-01", "to": "2031-06-07", "contracts": [],
///     "owed_by_mills": {"amount": "0.00", "currency": "USD"}, "unpriced": 2
/// }"#)?;
/// let paper = client::text::audit(&audit);
/// assert!(paper.starts_with("VOLUME AGAINST PAY\n"));
/// assert!(paper.contains("2 tasks"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn audit(audit: &VolumeAgainstPay) -> String {
    let mut paper = "VOLUME AGAINST PAY\n\n".to_owned();
    let mut known = vec![
        ("From", words::day(audit.from)),
        ("To", words::day(audit.to)),
        ("Amounts in", audit.owed_by_mills.currency().to_string()),
    ];
    known.extend(audit.unpriced.map(|open| ("Unpriced", words::count(open, "task", "tasks"))));
    paper.push_str(&facts(&known));
    if audit.contracts.is_empty() {
        paper.push_str("\n  No contract is touched by tickets of these days.\n");
    }
    for contract in &audit.contracts {
        paper.push_str(&one_contract(contract));
    }
    paper.push_str("\nIn all\n\n");
    let mut sums = Vec::new();
    sums.extend(audit.earned_by_crews.map(|earned| ("Earned by crews".to_owned(), earned)));
    sums.push(("Owed by mills".to_owned(), audit.owed_by_mills));
    paper.push_str(&amounts(&sums));
    paper.push('\n');
    paper.push_str(&indented(
        "Defect is gross less net, as a share of gross, to the nearest tenth of a percent, halves up. Open is earned \
         less posted. Volumes of different contracts are scaled by different rules and are not added up.",
        2,
    ));
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

fn one_contract(contract: &ContractAudit) -> String {
    let direction = match contract.party {
        Party::CrewId(_) => "we pay",
        Party::MillId(_) => "pays us",
    };
    let mut text = format!("\n{}: {} ({direction})\n\n", contract.contract_title, contract.party_name);
    text.push_str(&volumes(&contract.volumes));
    text.push('\n');
    text.push_str(&pay(&contract.pay));
    text.push('\n');
    text.push_str(&amounts(&[
        ("Earned".to_owned(), contract.earned),
        ("Posted".to_owned(), contract.posted),
        ("Open".to_owned(), contract.open),
    ]));
    text
}

fn volumes(rows: &[AuditVolumeRow]) -> String {
    if rows.is_empty() {
        return "  Nothing was scaled.\n".to_owned();
    }
    let mut table = Table::new([
        Column::text("Timber", 22),
        Column::number("Pieces"),
        Column::number("Culls"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::text("Unit", 12),
        Column::number("Defect"),
    ]);
    for row in rows {
        let scaled = row.unit.is_some();
        let volume = |figure: kernel::Fixed| if scaled { figure.to_string() } else { String::new() };
        table.row([
            format!("{}, {}", words::product(row.product), row.species),
            row.pieces.to_string(),
            row.culls.to_string(),
            volume(row.gross),
            volume(row.net),
            row.unit.map(words::volume_unit).unwrap_or_default().to_owned(),
            row.defect_share.map(percent).unwrap_or_default(),
        ]);
    }
    table.to_string()
}

/// A share as a percentage: to the nearest tenth, halves up, as the foot of the paper says.
fn percent(share: Exact) -> String {
    let tenth = |share: Exact| -> Result<Exact, NumberError> {
        share.times(Exact::of(100))?.rounded_to(Exact::fraction(1, 10), Rounding::HalfUp)
    };
    tenth(share).map(|percent| format!("{percent} %")).unwrap_or_else(|_| share.to_string())
}

fn pay(rows: &[AuditPayRow]) -> String {
    if rows.is_empty() {
        return "  Nothing is paid for it.\n".to_owned();
    }
    let mut table = Table::new([
        Column::text("Rate", 17),
        Column::number("Quantity"),
        Column::text("Unit", 12),
        Column::number("Price"),
        Column::number("Earned"),
        Column::number("Posted"),
        Column::number("Open"),
    ]);
    for row in rows {
        table.row([
            format!("{}. {}: {}", row.rate_number, row.task, row.rate_name),
            row.quantity.to_string(),
            words::unit(row.unit, row.basis),
            row.price.to_string(),
            row.earned.amount_text(),
            row.posted.amount_text(),
            row.open.amount_text(),
        ]);
    }
    table.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_rounded_to_a_tenth_of_a_percent_halves_up() {
        for (share, text) in [
            (Exact::fraction(1, 3), "33.3 %"),
            (Exact::fraction(2, 3), "66.7 %"),
            (Exact::fraction(1_2345, 10_0000), "12.3 %"), // 12.345
            (Exact::fraction(1_25, 10_00), "12.5 %"),
            (Exact::fraction(1_2450, 10_0000), "12.5 %"), // 12.45, a half
            (Exact::ZERO, "0 %"),
            (Exact::ONE, "100 %"),
        ] {
            assert_eq!(percent(share), text);
        }
    }
}
