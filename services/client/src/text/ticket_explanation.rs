//! A ticket, or one piece of it, followed up to the pay.

use wire::{
    PieceExplanation, RateExplanation, TaskExplanation, TermsExplanation, TicketExplanation, TicketState,
};

use super::table::{hanging, indented};
use super::{facts, measured, words};

/// A ticket followed up to the pay: each piece, each task that was done to it, what pays for it, and whether and where it
/// was paid.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let ticket = "0197a000-0000-7000-8000-000000000001".parse()?;
/// print!("{}", client::text::ticket_explanation(&client.explain_piece(ticket, 2).await?));
/// # Ok(()) }
/// ```
#[must_use]
pub fn ticket_explanation(explained: &TicketExplanation) -> String {
    let ticket = &explained.ticket;
    let mut paper = format!("TICKET {} {}, AND WHERE IT WAS SETTLED\n\n", ticket.book, ticket.number);
    paper.push_str(&facts(&known(explained)));
    for step in &explained.corrections {
        let void = if step.void { ", which holds nothing" } else { "" };
        let says = format!(
            "{} {}{void} took its place: {} ({}, {})",
            step.ticket.book, step.ticket.number, step.reason, step.accepted_by, step.accepted_at
        );
        paper.push_str(&hanging(&says, 2));
    }
    for piece in &explained.pieces {
        paper.push_str(&one_piece(piece));
    }
    if explained.pieces.is_empty() {
        paper.push_str("\n  It holds no pieces: it voids the ticket it corrects.\n");
    }
    paper.push_str(&format!("\n{}", indented(&explained.caution, 2)));
    paper
}

fn known(explained: &TicketExplanation) -> Vec<(&'static str, String)> {
    let stands = match explained.state {
        TicketState::Standing => "yes",
        TicketState::Corrected => "no, corrected",
        TicketState::Void => "no, void",
    };
    let late = if explained.late { ", after its week had been posted" } else { "" };
    let mut known = vec![
        ("Ticket", explained.ticket.ticket_id.to_string()),
        ("Stands", stands.to_owned()),
        ("Scaled", format!("{} by {}", words::day(explained.scaled_on), explained.scaler)),
        ("Accepted", format!("{} from {}{late}", explained.accepted_at, explained.accepted_by)),
        ("Week ending", words::day(explained.week_ends_on)),
    ];
    known.extend(explained.corrects.as_ref().map(|one| ("Corrects", format!("{} {}", one.book, one.number))));
    known.extend(explained.correction_reason.clone().map(|reason| ("Because", reason)));
    known
}

fn one_piece(piece: &PieceExplanation) -> String {
    let head = format!("{}. {}", piece.piece, measured::summary(&piece.facts));
    let mut text = format!("\n{}", hanging(&head, 0));
    if piece.tasks.is_empty() {
        text.push_str("  Nobody did anything to it that pay is for.\n");
    }
    for task in &piece.tasks {
        text.push_str(&one_task(task));
    }
    text
}

fn one_task(task: &TaskExplanation) -> String {
    let part = task.part.map(|part| format!(", {part} of it")).unwrap_or_default();
    let head = format!("{}, {}{part}: {}", task.task, task.party_name, task.says.join("; "));
    let mut text = format!("\n{}", hanging(&head, 2));
    for under in &task.under {
        text.push_str(&one_terms(under));
    }
    text
}

fn one_terms(under: &TermsExplanation) -> String {
    let no_more = if under.stands { "" } else { " (counts no more)" };
    let mut head =
        format!("{}, terms from {}{no_more}", under.contract_title, words::day(under.effective_from));
    if let (Some(gross), Some(net), Some(unit)) = (under.gross, under.net, under.volume_unit) {
        head.push_str(&format!(": gross {gross}, net {net} {}", words::volume_unit(unit)));
    }
    if let Some(why) = &under.cull {
        head.push_str(&format!("; cull: {why}"));
    }
    if let Some(why) = &under.cannot {
        head.push_str(&format!("; cannot be scaled: {why}"));
    }
    let mut text = hanging(&head, 4);
    for step in &under.working {
        text.push_str(&indented(step, 8));
    }
    for rate in &under.rates {
        text.push_str(&one_rate(rate));
    }
    text
}

fn one_rate(rate: &RateExplanation) -> String {
    let (number, name, price) = (rate.rate_number, &rate.rate_name, rate.price);
    let unit = words::unit(rate.unit, rate.basis);
    let mut text = hanging(&format!("rate {number}, {name}: {price} ({unit})"), 6);
    for says in rate.steps.iter().chain(&rate.says) {
        text.push_str(&hanging(says, 8));
    }
    text
}
