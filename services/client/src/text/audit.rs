//! Volume against pay, contract by contract.

use wire::{AuditPayRow, ContractAudit, Party, VolumeAgainstPay};

use super::table::{Column, Table, indented};
use super::{amounts, facts, margin, payees, stages, volumes, words};

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
    paper.push_str(&stages::stages(&audit.stages, &audit.stages_say));
    paper.push_str(&payees::payees(&audit.payees));
    paper.push_str(&audit.margin.as_ref().map(margin::each_task).unwrap_or_default());
    paper.push_str("\nIn all\n\n");
    let mut sums = Vec::new();
    sums.extend(audit.earned_by_crews.map(|earned| ("Earned by crews".to_owned(), earned)));
    sums.push(("Owed by mills".to_owned(), audit.owed_by_mills));
    paper.push_str(&amounts(&sums));
    paper.push('\n');
    let says = format!(
        "{} Open is earned less posted. Volumes of different contracts are scaled by different rules and are not \
         added up.",
        volumes::DEFECT
    );
    paper.push_str(&indented(&says, 2));
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

fn one_contract(contract: &ContractAudit) -> String {
    let direction = match contract.party {
        Party::CrewId(_) => "we pay",
        Party::MillId(_) => "pays us",
    };
    let mut text = format!("\n{}: {} ({direction})\n\n", contract.contract_title, contract.party_name);
    text.push_str(&volumes::rows(&contract.volumes));
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
