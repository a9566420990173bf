//! What is said of a ticket's turn and pieces.

use crate::TicketCreate;

/// How the load of a ticket was moved, and how far; none for a ticket that is not the scale of a load.
#[must_use]
pub fn turn(ticket: &TicketCreate) -> Option<String> {
    let turn = ticket.turn.as_ref()?;
    let mut parts = Vec::new();
    parts.extend(turn.moved_by.as_ref().map(|means| format!("moved by {means}")));
    parts.extend(turn.skid_distance_ft.map(|feet| format!("skidded {feet} feet")));
    parts.extend(turn.haul_distance_mi.map(|miles| format!("hauled {miles} miles")));
    Some(if parts.is_empty() { "a load".to_owned() } else { parts.join(", ") })
}

/// Numbers of pieces, neighbours drawn together.
///
/// ```
/// assert_eq!(wire::words::numbers(&[1, 2, 3, 7]), "1 to 3, 7");
/// ```
#[must_use]
pub fn numbers(pieces: &[u16]) -> String {
    let mut runs: Vec<(u16, u16)> = Vec::new();
    for &piece in pieces {
        match runs.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(piece) => *last = piece,
            _ => runs.push((piece, piece)),
        }
    }
    let run = |(first, last): &(u16, u16)| {
        if first == last { first.to_string() } else { format!("{first} to {last}") }
    };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn neighbouring_pieces_are_drawn_together() {
        for (pieces, text) in [
            (&[][..], ""),
            (&[4], "4"),
            (&[1, 2, 3, 7], "1 to 3, 7"),
            (&[3, 2, 1], "3, 2, 1"),
            (&[u16::MAX, 0], "65535, 0"),
        ] {
            assert_eq!(numbers(pieces), text);
        }
    }
}
