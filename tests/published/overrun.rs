//! Published figures of overrun. Sources are in `data/audit/sources.csv`.
#![expect(clippy::expect_used, reason = "a check that cannot read its figures has failed")]

use std::path::PathBuf;

use audit::{LogScale, LumberState, ScaleBase, Tally, overrun};
use kernel::{Fixed, VolumeUnit};

/// The rows of a file of `data/audit`, each of whose sources must be listed.
pub(crate) fn rows(file: &str) -> Vec<csv::StringRecord> {
    let records = |file: &str| -> Vec<csv::StringRecord> {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/audit");
        let mut reader = csv::Reader::from_path(folder.join(file)).expect("the file is there");
        reader.records().collect::<Result<_, _>>().expect("the file is in good order")
    };
    let known = records("sources.csv");
    let rows = records(file);
    for row in &rows {
        let source = cell(row, row.len() - 2);
        assert!(known.iter().any(|one| cell(one, 0) == source), "{file}: {source} is not listed");
    }
    rows
}

/// One cell of a row.
pub(crate) fn cell(row: &csv::StringRecord, column: usize) -> &str {
    row.get(column).expect("the row has the column")
}

fn fixed(text: &str) -> Fixed {
    text.parse().expect("a number")
}

/// One mill study gives both bases: it underran on the gross scale and overran by a third on the net scale, so that a figure
/// without its base says nothing.
#[test]
fn every_published_overrun() {
    let rows = rows("overrun.csv");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let scaled = fixed(cell(row, 3));
        let base = match cell(row, 1) {
            "gross" => ScaleBase::Gross,
            "net" => ScaleBase::Net,
            other => panic!("{other} is no base"),
        };
        // The other base is far off, so that it would show if it were taken.
        let (gross, net) = match base {
            ScaleBase::Gross => (scaled, fixed("1")),
            ScaleBase::Net => (fixed("1000000"), scaled),
        };
        let scale = LogScale { rule: "the study's".to_owned(), unit: VolumeUnit::BoardFoot, gross, net };
        // The study does not say in which state the lumber was tallied, as far as it was seen.
        let tally = Tally { board_feet: fixed(cell(row, 2)), state: LumberState::RoughGreen };
        let found = overrun(tally, &scale, base).expect("board feet on both sides");
        assert_eq!(found.percent, fixed(cell(row, 4)), "{row:?}");
        assert_eq!((found.base, found.rule.as_str()), (base, "the study's"));
        assert_eq!(found.difference, fixed(cell(row, 2)).minus(scaled).expect("small"), "{row:?}");
    }
}
