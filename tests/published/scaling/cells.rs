//! Every printed cell of `published_tables.csv`, one by one, under the edition of the rule that the printing belongs to.

use std::collections::BTreeMap;

use kernel::Exact;
use scaling::EditionName;
use serde_json::json;

use super::data::{asked, rows};
use super::disagreements::{Disagreement, settle};

/// The edition that a printing belongs to: the manual of 1913 goes its own way with exact halves, every other Doyle chart
/// that was seen puts them up; the charts of the International rule agree best with the factor 0.905.
fn edition_of(rule: &str, source: &str) -> EditionName {
    match (rule, source) {
        ("doyle", "CHASE-1913") => EditionName::Printing1913,
        ("doyle", _) => EditionName::HalfUp,
        ("international-quarter-inch", _) => EditionName::Print,
        _ => EditionName::Standard,
    }
}

#[test]
fn every_printed_cell() {
    let rows = rows("published_tables.csv");
    let mut found = BTreeMap::new();
    for row in &rows {
        let (rule, diameter, length, printed, unit, source) =
            (&row[0], &row[1], &row[2], &row[3], &row[4], &row[5]);
        let name = match rule {
            "Doyle" => "doyle",
            "International 1/4-inch" => "international-quarter-inch",
            "Scribner Decimal C" => "scribner-decimal-c",
            other => panic!("{other} is in the file and in no test"),
        };
        let tens = Exact::of(if unit == "tens_of_board_feet" { 10 } else { 1 });
        let published = printed.parse::<Exact>().unwrap().times(tens).unwrap();
        let edition = edition_of(name, source);
        let answer =
            asked(json!({"rule": name, "edition": edition, "diameter_in": diameter, "length_ft": length}));
        assert_eq!(answer.edition, edition);
        if answer.gross != published {
            let place = format!("{name} {diameter} x {length} {source}");
            let figures = Disagreement { printed: published.to_string(), ours: answer.gross.to_string() };
            assert!(found.insert(place, figures).is_none());
        }
        assert!(answer.working.iter().all(|step| !step.from_memory), "{rule} {diameter} by {length}");
    }
    assert_eq!(rows.len(), 433);
    settle("published_tables", &found);
}

/// The one-foot question of Doyle's halves: print that puts them up, and print that does either.
#[test]
fn doyle_halves_are_put_up_by_one_printing_and_either_way_by_the_other() {
    let mut halves = BTreeMap::new();
    for row in rows("published_tables.csv").iter().filter(|row| &row[0] == "Doyle") {
        let answer = asked(json!({"rule": "doyle", "diameter_in": row[1], "length_ft": row[2]}));
        let past = answer.gross_unrounded.minus(Exact::of(answer.gross_unrounded.floor())).unwrap();
        if past == Exact::fraction(1, 2) {
            let printed: Exact = row[3].parse().unwrap();
            let up = printed == answer.gross;
            let counts: &mut (usize, usize) = halves.entry(row[5].to_owned()).or_default();
            if up { counts.0 += 1 } else { counts.1 += 1 }
        }
    }
    assert_eq!(halves.get("TT-DOYLE").map(|(_, down)| *down), Some(0));
    assert!(halves.get("CHASE-1913").is_some_and(|(up, down)| *up > 0 && *down > 0));
}

/// The factor of the statutes against the shorter one in use: each is an edition, and one printed cell tells them apart.
#[test]
fn the_statutes_factor_and_the_shorter_one_part_at_21_inches_by_8_feet() {
    let by = |edition: &str| {
        asked(json!({"rule": "international-quarter-inch", "edition": edition, "diameter_in": "21",
            "length_ft": "8"}))
    };
    assert_eq!((by("statute").gross, by("print").gross), (Exact::of(150), Exact::of(155)));
    let without_kerf =
        asked(json!({"rule": "international-eighth-inch", "diameter_in": "21", "length_ft": "8",
            "rounding": "none"}));
    let shorter = without_kerf.gross.times(Exact::fraction(905, 1000)).unwrap();
    assert_eq!(by("print").gross_unrounded, shorter);
}

/// How many of the printed cells each edition meets: what "agrees best" in an edition's source stands on.
#[test]
fn each_edition_meets_as_many_cells_as_its_source_says() {
    let met = |rule: &str, name: &str, edition: &str| {
        let rows = rows("published_tables.csv");
        let meets = |row: &&csv::StringRecord| {
            let request =
                json!({"rule": name, "edition": edition, "diameter_in": row[1], "length_ft": row[2]});
            asked(request).gross == row[3].parse().unwrap()
        };
        rows.iter().filter(|row| &row[0] == rule).filter(meets).count()
    };
    let international = |edition| met("International 1/4-inch", "international-quarter-inch", edition);
    assert_eq!((international("statute"), international("print")), (71, 72));
    let doyle = |edition| met("Doyle", "doyle", edition);
    assert_eq!((doyle("half-up"), doyle("half-down")), (239, 241));
}
