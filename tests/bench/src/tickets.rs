//! Made-up tickets of forty logs: the same ones in every run.

use anyhow::{Result, bail};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde_json::{Value, json};
use wire::BatchLine;

use crate::books::{Books, CREWS};
use crate::chance::{Chance, halves};

/// How many logs stand on a ticket.
pub const LOGS: usize = 40;
/// How many tickets are sent in one request.
const A_REQUEST: u32 = 5_000;

const SPECIES: [&str; 4] = ["white pine", "red pine", "hemlock", "spruce"];

/// A ticket of the week that ends on a day, in a scale book, under a number.
pub fn ticket(books: &Books, week: Date, book: &str, number: u32) -> Result<Value> {
    let mut chance = Chance::from_seed(u64::from(number) ^ 0x5eed);
    let place = usize::try_from(number)?;
    let felling = books.felling.get(place % CREWS);
    let team = books.teams.get(place / CREWS % CREWS);
    let day = week.checked_sub(i64::from(1 + number % 6).days())?;
    Ok(json!({
        "book": book, "number": number, "job_id": books.job, "landing_id": books.landing, "scaled_on": day,
        "scaler": "Scaler at the landing",
        "work": [{"task": "felling", "crew_id": felling}, {"task": "skidding", "crew_id": team},
                 {"task": "hauling", "crew_id": team}],
        "turn": {"moved_by": "team of two horses", "skid_distance_ft": (200 + 50 * chance.below(20)).to_string(),
                 "haul_distance_mi": halves(2 + chance.below(10))},
        "delivered_to": books.mill,
        "pieces": (0..LOGS).map(|log| stick(log, &mut chance)).collect::<Vec<_>>()
    }))
}

/// A log of 6 to 20 inches; every eighth has a defect.
fn stick(number: usize, chance: &mut Chance) -> Value {
    let small = 12 + chance.below(29);
    let species = SPECIES.get(usize::try_from(chance.below(4)).unwrap_or_default());
    let readings = match number % 4 {
        0 => json!([halves(small), halves(small + 1 + chance.below(3))]),
        _ => json!([halves(small)]),
    };
    let mut stick = json!({"product": "log", "species": species, "small_diameter_in": readings,
                           "length_ft": (8 + 2 * chance.below(5)).to_string(), "length_in": (3 + chance.below(4)).to_string()});
    if number.is_multiple_of(8)
        && let Some(members) = stick.as_object_mut()
    {
        let defect = match chance.below(2) {
            0 => json!({"kind": "break", "method": "length_cut", "length_ft": "2"}),
            _ => {
                json!({"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "3", "length_ft": "4"})
            }
        };
        members.insert("defects".to_owned(), json!([defect]));
    }
    stick
}

/// Posts the first `count` tickets of a week in bulk, under a scale book named after the week. The service must answer
/// that it took each.
pub async fn load(books: &Books, week: Date, count: u32) -> Result<()> {
    let book = format!("W {week}");
    for first in (1..=count).step_by(usize::try_from(A_REQUEST)?) {
        let last = count.min(first + A_REQUEST - 1);
        let lines = lines(books, week, &book, first, last)?;
        for answer in books.manager.post_ticket_lines(lines).await? {
            if let BatchLine::Refused(refused) = answer {
                bail!("a ticket was refused: {:?}", refused.problem);
            }
        }
    }
    Ok(())
}

/// Tickets under these numbers, a line each.
pub fn lines(books: &Books, week: Date, book: &str, first: u32, last: u32) -> Result<Vec<u8>> {
    let mut lines = Vec::new();
    for number in first..=last {
        serde_json::to_writer(&mut lines, &ticket(books, week, book, number)?)?;
        lines.push(b'\n');
    }
    Ok(lines)
}
