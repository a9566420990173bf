//! Scale tickets, and the working of one.

use wire::words::{numbers, turn};
use wire::{ContractScale, TicketState, TicketView, TicketWorking};

use super::table::{Column, Table, hanging, indented};
use super::{facts, measured, unpriced, words};

/// A ticket: what was measured, what every contract it touches makes of it, and what nothing pays for.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
/// print!("{}", client::text::ticket(&client.show_ticket(id).await?));
/// # Ok(()) }
/// ```
#[must_use]
pub fn ticket(view: &TicketView) -> String {
    let ticket = &view.ticket;
    let mut paper = format!("TICKET {} {}\n\n{}", ticket.book, ticket.number, facts(&known(view)));
    paper.push_str("\nMeasured\n\n");
    for (number, piece) in (1_usize..).zip(&ticket.pieces) {
        paper.push_str(&hanging(&format!("{number}. {}", measured::summary(piece)), 2));
    }
    if ticket.pieces.is_empty() {
        paper.push_str("  Nothing: it voids the ticket it corrects.\n");
    }
    for scaled in &view.scaled {
        paper.push_str(&one_contract(scaled));
    }
    if !view.unpriced.is_empty() {
        paper.push_str(&format!("\nNothing pays for\n\n{}", unpriced(&view.unpriced)));
    }
    for aside in &view.set_aside {
        let piece = aside.piece.map_or_else(|| "every piece".to_owned(), |piece| format!("piece {piece}"));
        let says = format!("Set aside: {}, {piece}: {} ({})", aside.task, aside.reason, aside.made_by);
        paper.push_str(&format!("\n{}", indented(&says, 2)));
    }
    paper
}

fn known(view: &TicketView) -> Vec<(&'static str, String)> {
    let ticket = &view.ticket;
    let mut known = vec![
        ("Ticket", view.ticket_id.to_string()),
        ("Stands", stands(view)),
        ("Scaled", format!("{} by {}", words::day(ticket.scaled_on), ticket.scaler)),
        ("Job", ticket.job_id.to_string()),
        ("Landing", ticket.landing_id.to_string()),
        ("Accepted", format!("{} from {}", view.accepted_at, view.accepted_by)),
    ];
    known.extend(ticket.delivered_to.map(|mill| ("Delivered to", mill.to_string())));
    known.extend(view.corrects.map(|wrong| ("Corrects", wrong.to_string())));
    known.extend(view.correction_reason.clone().map(|reason| ("Because", reason)));
    known.extend(turn(ticket).map(|turn| ("Turn", turn)));
    known.extend(ticket.remarks.as_ref().map(|remarks| ("Remarks", remarks.to_string())));
    known
}

fn stands(view: &TicketView) -> String {
    match (view.state, view.corrected_by) {
        (TicketState::Standing, _) => "yes".to_owned(),
        (TicketState::Void, _) => "no, void".to_owned(),
        (TicketState::Corrected, Some(by)) => format!("no, corrected by {by}"),
        (TicketState::Corrected, None) => "no, corrected".to_owned(),
    }
}

fn one_contract(scaled: &ContractScale) -> String {
    let mut pieces = Table::new([
        Column::number("Piece"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::text("Unit", 12),
        Column::text("Cull", 40),
    ]);
    for piece in &scaled.pieces {
        pieces.row([
            piece.piece.to_string(),
            piece.gross.map(|gross| gross.to_string()).unwrap_or_default(),
            piece.net.map(|net| net.to_string()).unwrap_or_default(),
            piece.unit.map(words::volume_unit).unwrap_or_default().to_owned(),
            piece.cull.clone().unwrap_or_default(),
        ]);
    }
    let mut text = format!("\n{}\n\n{pieces}", scaled.contract_title);
    if !scaled.accruals.is_empty() {
        let mut accruals =
            Table::new([Column::text("Rate", 40), Column::number("Quantity"), Column::text("Pieces", 24)]);
        for accrual in &scaled.accruals {
            accruals.row([
                format!("{}. {}: {}", accrual.rate_number, accrual.task, accrual.rate_name),
                accrual.quantity.to_string(),
                numbers(&accrual.pieces),
            ]);
        }
        text.push_str(&format!("\n{accruals}"));
    }
    text
}

/// Tickets as a list, one to a row.
///
/// ```
/// assert_eq!(client::text::tickets(&[]), "No tickets.\n");
/// ```
#[must_use]
pub fn tickets(views: &[TicketView]) -> String {
    if views.is_empty() {
        return "No tickets.\n".to_owned();
    }
    let mut table = Table::new([
        Column::text("Book", 12),
        Column::number("Number"),
        Column::text("Scaled", 10),
        Column::number("Pieces"),
        Column::text("Stands", 6),
        Column::text("Ticket", 36),
    ]);
    for view in views {
        table.row([
            view.ticket.book.to_string(),
            view.ticket.number.to_string(),
            view.ticket.scaled_on.to_string(),
            view.ticket.pieces.len().to_string(),
            if view.state == TicketState::Standing { "yes".to_owned() } else { "no".to_owned() },
            view.ticket_id.to_string(),
        ]);
    }
    table.to_string()
}

/// The working of a ticket: every piece under every contract, step by step.
///
/// ```
/// let working = serde_json::from_str(r#"{
///     "ticket_id": "0197a000-0000-7000-8000-000000000001",
///     "pieces": [{"piece": 1, "contract_id": "0197a000-0000-7000-8000-000000000002",
///         "terms_id": "0197a000-0000-7000-8000-000000000003", "cannot": "the large end is missing"}]
/// }"#)?;
/// assert!(client::text::working(&working).contains("cannot be scaled: the large end is missing"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn working(working: &TicketWorking) -> String {
    let mut paper = "WORKING\n".to_owned();
    for piece in &working.pieces {
        let head = format!("Piece {} under contract {}", piece.piece, piece.contract_id);
        paper.push_str(&format!("\n  {head}\n"));
        if let Some(why) = &piece.cannot {
            paper.push_str(&indented(&format!("cannot be scaled: {why}"), 6));
        }
        for step in piece.scaled.iter().flat_map(|scaled| &scaled.working) {
            paper.push_str(&indented(&step.says, 6));
        }
    }
    paper
}
