//! A printed table filed as an outfit's own scales as the built-in rule does, cell by cell.

use std::collections::{BTreeMap, BTreeSet};

use scaling::Scaled;
use serde_json::{Value, json};

use super::data::{log, rows};

/// The printed cells of Scribner Decimal C that make a block, by diameter and length, in board feet; and their source.
fn printed() -> (BTreeMap<(u32, u32), String>, String) {
    let (mut cells, mut sources) = (BTreeMap::new(), BTreeSet::new());
    for row in rows("published_tables.csv").iter().filter(|row| &row[0] == "Scribner Decimal C") {
        let (diameter, length): (u32, u32) = (row[1].parse().unwrap(), row[2].parse().unwrap());
        // One more cell is printed by itself, at 30 inches.
        if diameter <= 20 {
            let known = cells.insert((diameter, length), board_feet(&row[3], &row[4]));
            assert!(known.is_none_or(|known| known == cells[&(diameter, length)]));
            sources.insert(row[5].to_owned());
        }
    }
    (cells, sources.into_iter().collect::<Vec<_>>().join(", "))
}

/// A printed figure in board feet.
fn board_feet(figure: &str, unit: &str) -> String {
    let figure: kernel::Exact = figure.parse().unwrap();
    let tens = unit == "tens_of_board_feet";
    let figure = if tens { figure.times(kernel::Exact::of(10)).unwrap() } else { figure };
    figure.to_string()
}

fn own_table(cells: &BTreeMap<(u32, u32), String>, source: &str) -> Value {
    let diameters: BTreeSet<u32> = cells.keys().map(|(diameter, _)| *diameter).collect();
    let lengths: BTreeSet<u32> = cells.keys().map(|(_, length)| *length).collect();
    let row = |diameter: &u32| {
        let volumes: Vec<_> = lengths.iter().map(|length| cells[&(*diameter, *length)].clone()).collect();
        json!({"diameter": diameter.to_string(), "volumes": volumes})
    };
    json!({
        "heading": {"title": "Printed Decimal C", "unit": "board_foot", "rounding": "to the nearest 10 board feet",
                    "source": source},
        "lengths": lengths.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "rows": diameters.iter().map(row).collect::<Vec<_>>()
    })
}

/// What two practices make of a log, apart from the wording.
fn figures(scaled: &Scaled) -> Value {
    json!([scaled.volume, scaled.scaling_diameter_in, scaled.scaling_length_ft, scaled.cull])
}

#[test]
fn the_printed_block_of_decimal_c_as_an_own_table_is_decimal_c() {
    let (cells, source) = printed();
    assert_eq!(cells.len(), 90, "15 diameters by 6 lengths");
    let tens = json!({"step": "10", "mode": "half_up"});
    let own = json!({
        "rule": "own-table", "deduction_rounding": tens,
        "table": {"table_id": "01977000-0000-7000-8000-000000000001", "version": 1,
                  "document": own_table(&cells, &source)}
    });
    let built_in = json!({"rule": "scribner-decimal-c", "printed_cells_only": true});
    let rot = json!([{"kind": "heart_rot", "method": "squared", "width_in": "3", "height_in": "3", "length_ft": "4"}]);
    for ((diameter, length), printed) in &cells {
        for (read, defects) in [(reading(*diameter, ""), json!([])), (reading(*diameter, ".5"), rot.clone())]
        {
            let members = json!({"small_diameter_in": [read], "length_ft": length.to_string(), "length_in": "4",
                                 "defects": defects});
            if read.ends_with(".5") && *diameter == 20 {
                continue; // it goes up to 21, past the block
            }
            let (ours, theirs) = (log(own.clone(), members.clone()), log(built_in.clone(), members));
            assert_eq!(figures(&ours), figures(&theirs), "{read} by {length}");
            if !read.ends_with(".5") {
                assert_eq!(ours.volume.unwrap().gross.to_string(), *printed, "{read} by {length}");
            }
        }
    }
}

/// A whole number of inches and what is past it, as text.
fn reading(inches: u32, past: &str) -> String {
    format!("{inches}{past}")
}
