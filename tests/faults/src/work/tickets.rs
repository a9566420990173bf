//! Tickets as chance has them, and what each is worth by a reckoning that shares nothing with the service.

use serde_json::{Value, json};
use wire::TicketCreate;

use super::outfit::{Outfit, day, form};
use crate::chance::Chance;

/// Logs of 16 feet: the small end in inches, and the board feet of Scribner Decimal C as they were seen in print. The cells are
/// those of `tests/data/scaling/published_tables.csv`, which names the printing.
const LOGS: [(&str, i64); 4] = [("10", 60), ("12", 80), ("16", 160), ("20", 280)];
/// What a pole pays for felling, in cents.
const POLE: i64 = 100;
/// What a log pays for felling, in cents.
const LOG: i64 = 75;

/// A ticket of a week, as chance has it.
pub fn ticket(
    outfit: &Outfit,
    book: &str,
    number: u32,
    week: u32,
    chance: &mut Chance,
) -> anyhow::Result<TicketCreate> {
    let scaled_on = day(week, chance.below(7))?;
    let count = 2 + chance.place(9);
    let mut pieces = Vec::new();
    let mut logs = Vec::new();
    for place in (1_u16..).take(count) {
        if chance.one_in(3) {
            pieces.push(json!({"product": "pole", "species": "cedar", "length_ft": "35"}));
        } else if let Some((diameter, _)) = chance.pick(&LOGS) {
            logs.push(place);
            pieces.push(json!({"product": "log", "species": "white pine", "small_diameter_in": [diameter],
                               "length_ft": "16.5"}));
        }
    }
    form(outfit.ticket(book, number, scaled_on, pieces, &logs)?)
}

/// What takes the place of a ticket, under a number of its own: another ticket of the same day, or now and then none at all.
pub fn correction(
    outfit: &Outfit,
    wrong: &TicketCreate,
    number: u32,
    chance: &mut Chance,
) -> anyhow::Result<TicketCreate> {
    let book = wrong.book.as_str();
    if chance.one_in(5) {
        return form(outfit.ticket(book, number, wrong.scaled_on, Vec::new(), &[])?);
    }
    let right = ticket(outfit, book, number, 0, chance)?;
    Ok(TicketCreate { scaled_on: wrong.scaled_on, ..right })
}

/// What a ticket is worth in cents: to the sawyers, and to the teamster.
pub fn worth(ticket: &TicketCreate) -> anyhow::Result<(i64, i64)> {
    let (mut felling, mut skidding) = (0_i64, 0_i64);
    for piece in &ticket.pieces {
        let piece = serde_json::to_value(piece)?;
        if piece.get("product").is_some_and(|product| product == "pole") {
            felling += POLE;
            continue;
        }
        let diameter = piece.pointer("/small_diameter_in/0").and_then(Value::as_str).unwrap_or_default();
        let known = LOGS.iter().find(|(known, _)| *known == diameter);
        let (_, feet) = known.ok_or_else(|| anyhow::anyhow!("a log that nobody sent: {piece}"))?;
        felling += LOG;
        // Ten dollars a thousand is a cent a board foot, so that nothing is left to round.
        skidding += feet;
    }
    Ok((felling, skidding))
}

#[cfg(test)]
mod tests {
    use super::LOGS;

    #[test]
    fn the_board_feet_are_those_that_were_seen_in_print() {
        let printed = include_str!("../../../data/scaling/published_tables.csv");
        for (diameter, feet) in LOGS {
            let cell = format!("Scribner Decimal C,{diameter},16,");
            let cells: Vec<&str> = printed.lines().filter(|line| line.starts_with(&cell)).collect();
            let value = format!("{cell}{feet},board_feet,");
            let agrees = |line: &&str| line.starts_with(&value) && line.ends_with(",seen");
            assert!(!cells.is_empty() && cells.iter().all(agrees), "{diameter} inches: {cells:?}");
        }
    }
}
