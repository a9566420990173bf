//! What makes a table one that can be scaled by. All the tables are invented.

use kernel::Exact;
use proptest::prelude::*;
use scaling::{Growth, LogTable, TableFault, TableHeading, TableRefused, TableSheet};
use serde_json::{Value, json};

/// Heading of an invented table in inches, feet and board feet.
fn heading() -> TableHeading {
    serde_json::from_value(json!({"title": "Camp scale", "unit": "board_foot", "rounding": "to 5 board feet",
                                  "source": "the stick of the camp"}))
    .unwrap()
}

/// A block of cells, written as lines of cells with blanks between; a dot is an empty cell.
fn sheet(block: &str) -> TableSheet {
    let cell = |cell: &str| if cell == "." { String::new() } else { cell.to_owned() };
    TableSheet::from_block(block.lines().map(|line| line.split_whitespace().map(cell).collect()))
}

fn faults(block: &str) -> Vec<TableFault> {
    match LogTable::read(heading(), &sheet(block), false) {
        Err(TableRefused::Faults(faults)) => faults,
        other => panic!("{block}: {other:?}"),
    }
}

type Place = (Option<usize>, Option<usize>);

#[test]
fn every_fault_is_told_with_its_place() {
    let table: [(&str, &[(&str, Place)]); 15] = [
        ("in 8 10\n6 5 .", &[("missing-cell", (Some(1), Some(2)))]),
        ("in 8 10\n6 5", &[("ragged-row", (Some(1), None))]),
        ("in 8 10\n6 5 10 15", &[("ragged-row", (Some(1), None))]),
        ("in 8 10\n6 5 ten", &[("unreadable-cell", (Some(1), Some(2)))]),
        ("in 8 10\n6 5 1e3", &[("unreadable-cell", (Some(1), Some(2)))]),
        ("in 8 10\n6 5 10,5", &[("unreadable-cell", (Some(1), Some(2)))]),
        ("in 8 10\n6 -5 10", &[("volume-out-of-bounds", (Some(1), Some(1)))]),
        ("in 8 10\n6 5 1000001", &[("volume-out-of-bounds", (Some(1), Some(2)))]),
        ("in 8 8\n6 5 5", &[("length-out-of-order", (None, Some(2)))]),
        ("in 8 10\n7 5 10\n6 5 10", &[("diameter-out-of-order", (Some(2), None))]),
        ("in 8 10\n6 5 10\n6.0 5 10", &[("diameter-out-of-order", (Some(2), None))]),
        ("in eight 10\n6 5 10", &[("unreadable-length", (None, Some(1)))]),
        ("in 8 10\n-6 5 10", &[("unreadable-diameter", (Some(1), None))]),
        ("in 8 10\n6 5 10\n7 5 10\n9 5 10", &[("missing-row", (Some(3), None))]),
        ("in 8 12 14 16\n6 5 10 15 20", &[("missing-column", (None, Some(2)))]),
    ];
    for (block, expected) in table {
        let found: Vec<_> = faults(block).iter().map(|fault| (fault.code(), fault.place())).collect();
        assert_eq!(found, expected, "{block}");
    }
    // All of them at once, not one after the other.
    let all = faults("in 8 10\n6 . 10\n6 5 x\n7 5");
    let codes: Vec<_> = all.iter().map(TableFault::code).collect();
    assert_eq!(codes, ["diameter-out-of-order", "missing-cell", "unreadable-cell", "ragged-row"]);
    let says = all[1].to_string();
    assert!(says.starts_with("row 1, column 1") && says.contains("write its volume"), "{says}");
}

#[test]
fn a_wider_step_for_larger_logs_is_no_gap_and_a_single_wide_step_is_one() {
    let accepted = ["6 7 8 9", "6 7 8 10 12", "6 6.5 7 8 9", "6 8 10 14 18", "6 9", "6"];
    let gaps: [(&str, &[usize]); 5] = [
        ("6 7 9", &[3]),
        ("6 8 9 10", &[2]),
        ("6 7 9 10", &[3]),
        ("6 7 9 10 12 13", &[3, 5]),
        ("6 7 8 10", &[4]),
    ];
    let block = |diameters: &str| {
        let rows: Vec<_> = diameters.split(' ').map(|diameter| format!("{diameter} 5")).collect();
        format!("in 8\n{}", rows.join("\n"))
    };
    for diameters in accepted {
        assert!(LogTable::read(heading(), &sheet(&block(diameters)), false).is_ok(), "{diameters}");
    }
    for (diameters, rows) in gaps {
        let found: Vec<_> = faults(&block(diameters)).iter().filter_map(|fault| fault.place().0).collect();
        assert_eq!(found, rows, "{diameters}");
    }
}

#[test]
fn an_empty_table_and_one_past_the_limit_are_refused() {
    let codes = |sheet: &TableSheet| match LogTable::read(heading(), sheet, false) {
        Err(TableRefused::Faults(faults)) => faults.iter().map(TableFault::code).collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    assert_eq!(codes(&TableSheet::default()), ["empty-table", "empty-table"]);
    let of_size = |rows: u32, columns: u32| {
        let size = |count: u32| (1..=count).map(|one| Exact::fraction(one.into(), 2).to_string());
        let line = |first: String, cell: String| {
            [first].into_iter().chain((0..columns).map(|_| cell.clone())).collect::<Vec<_>>()
        };
        let top = ["in".to_owned()].into_iter().chain(size(columns)).collect();
        TableSheet::from_block([top].into_iter().chain(size(rows).map(|first| line(first, "5".into()))))
    };
    assert!(LogTable::read(heading(), &of_size(200, 100), false).is_ok());
    assert_eq!(codes(&of_size(201, 100)), ["table-too-large"]);
    assert_eq!(codes(&of_size(200, 101)), ["table-too-large"]);
}

#[test]
fn a_unit_of_the_other_system_is_refused() {
    for (system, unit, fits) in [
        ("inch_foot", "board_foot", true),
        ("inch_foot", "cubic_foot", true),
        ("inch_foot", "cubic_metre", false),
        ("metric", "board_foot", false),
        ("metric", "cubic_foot", false),
        ("metric", "cubic_metre", true),
    ] {
        let mut heading = serde_json::to_value(heading()).unwrap();
        heading["system"] = json!(system);
        heading["unit"] = json!(unit);
        let read = LogTable::read(serde_json::from_value(heading).unwrap(), &sheet("in 4\n20 0.1"), false);
        assert_eq!(read.is_ok(), fits, "{system} {unit}");
    }
}

#[test]
fn falls_are_found_both_ways_and_taken_only_when_acknowledged() {
    let falling = sheet("in 8 10 12\n6 5 10 20\n7 10 20 15\n8 10 15 20");
    let Err(TableRefused::Falls(falls)) = LogTable::read(heading(), &falling, false) else {
        panic!("the falls were not found")
    };
    let found: Vec<_> = falls
        .iter()
        .map(|fall| {
            (fall.diameter.to_string(), fall.length.to_string(), fall.smaller_log.to_string(), fall.growth)
        })
        .collect();
    let expected = [
        ("7", "12", "20", Growth::Diameter),
        ("7", "12", "20", Growth::Length),
        ("8", "10", "20", Growth::Diameter),
    ];
    assert_eq!(found, expected.map(|(d, l, v, growth)| (d.to_owned(), l.to_owned(), v.to_owned(), growth)));
    let table = LogTable::read(heading(), &falling, true).unwrap();
    assert_eq!(table.falls(), falls);
    // It is kept with the acknowledgement, and read again with it.
    let document = serde_json::to_value(&table).unwrap();
    assert_eq!(document["acknowledged_falls"], true);
    assert_eq!(serde_json::from_value::<LogTable>(document.clone()).unwrap(), table);
    let mut silent = document;
    silent["acknowledged_falls"] = json!(false);
    let refused = serde_json::from_value::<LogTable>(silent).unwrap_err().to_string();
    assert!(refused.contains("acknowledged_falls"), "{refused}");
}

#[test]
fn acknowledging_nothing_makes_no_other_table() {
    let even = sheet("in 8 10\n6 5 10");
    let table = LogTable::read(heading(), &even, true).unwrap();
    assert_eq!(table, LogTable::read(heading(), &even, false).unwrap());
    assert_eq!(serde_json::to_value(&table).unwrap()["acknowledged_falls"], false);
}

#[test]
fn one_number_has_one_form_whatever_way_it_was_written() {
    let written = sheet("in 8.0 10\n6.50 5 10.00");
    let table = LogTable::read(heading(), &written, false).unwrap();
    assert_eq!(table.sheet(), sheet("in 8 10\n6.5 5 10"));
}

#[test]
fn a_heading_says_what_is_needed_of_it() {
    let good = serde_json::to_value(heading()).unwrap();
    for (member, value, says) in [
        ("title", json!("  "), "title: a title is blank"),
        ("title", json!("two\nlines"), "title"),
        ("source", json!("x".repeat(401)), "source: a statement is 401 characters long"),
        ("unit", json!("bushel"), "unit"),
        ("system", json!("chains"), "system"),
        ("diameter", json!("butt"), "diameter"),
        ("colour", json!("red"), "colour"),
    ] {
        let mut heading = good.clone();
        heading[member] = value;
        let refused = serde_json::from_value::<TableHeading>(heading).unwrap_err().to_string();
        assert!(refused.contains(says), "{member}: {refused}");
    }
    for needed in ["title", "unit", "rounding", "source"] {
        let mut heading = good.clone();
        heading.as_object_mut().unwrap().remove(needed);
        assert!(serde_json::from_value::<TableHeading>(heading).is_err(), "{needed}");
    }
}

proptest! {
    /// Whatever texts a sheet holds, reading it answers; and what it takes is what was written.
    #[test]
    fn any_sheet_is_read_or_refused(block in prop::collection::vec(prop::collection::vec("[0-9.x-]{0,4}", 0..5), 0..5)) {
        let sheet = TableSheet::from_block(block);
        match LogTable::read(heading(), &sheet, true) {
            Ok(table) => {
                let (rows, columns) = table.size();
                prop_assert_eq!((rows, columns), (sheet.rows.len(), sheet.lengths.len()));
                for row in &sheet.rows {
                    for (length, volume) in sheet.lengths.iter().zip(&row.volumes) {
                        let cell = table.cell(row.diameter.parse().unwrap(), length.parse().unwrap());
                        prop_assert_eq!(cell, Some(volume.parse().unwrap()));
                    }
                }
                let again: LogTable = serde_json::from_value(serde_json::to_value(&table).unwrap()).unwrap();
                prop_assert_eq!(again, table);
            }
            Err(TableRefused::Faults(faults)) => prop_assert!(!faults.is_empty()),
            Err(TableRefused::Falls(_)) => prop_assert!(false, "falls were acknowledged"),
        }
    }

    /// A table without falls never gives less for a larger log, and a change of one cell that makes a fall is found.
    #[test]
    fn volumes_grow_or_the_fall_is_found(rises in prop::collection::vec(prop::collection::vec(0_u32..4, 4), 4), at in (0_usize..4, 0_usize..4)) {
        // Sums of rises over all smaller logs can only grow.
        let sum = |row: usize, column: usize| -> u32 {
            rises.iter().take(row + 1).map(|rises| rises.iter().take(column + 1).sum::<u32>()).sum::<u32>() + 1
        };
        let block = |changed: Option<(usize, usize)>| {
            let line = |row: usize| {
                let cell = |column| if changed == Some((row, column)) { 0 } else { sum(row, column) };
                [format!("{}", 6 + row)].into_iter().chain((0..4).map(|column| cell(column).to_string())).collect()
            };
            let top: Vec<String> = ["in", "8", "10", "12", "14"].map(str::to_owned).to_vec();
            TableSheet::from_block([top].into_iter().chain((0..4).map(line)))
        };
        let table = LogTable::read(heading(), &block(None), false).unwrap();
        prop_assert!(table.falls().is_empty());
        let changed = LogTable::read(heading(), &block(Some(at)), false);
        prop_assert_eq!(changed.is_err(), at != (0, 0));
    }
}

/// The members of a document, so that a member nobody thought of here is noticed.
#[test]
fn a_table_is_written_member_by_member() {
    let table = LogTable::read(heading(), &sheet("in 8\n6 5"), false).unwrap();
    let document: Value = serde_json::to_value(table).unwrap();
    assert_eq!(
        document,
        json!({
            "heading": {"title": "Camp scale", "system": "inch_foot", "diameter": "small_end", "unit": "board_foot",
                        "rounding": "to 5 board feet", "source": "the stick of the camp"},
            "lengths": ["8"], "rows": [{"diameter": "6", "volumes": ["5"]}], "acknowledged_falls": false
        })
    );
}
