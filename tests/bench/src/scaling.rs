//! Scaling: logs a second by each rule, beside what plain loops over the same logs can do.

use std::hint::black_box;

use anyhow::{Context as _, Result};
use kernel::Exact;
use scaling::{Piece, Practice, RuleName, rules, scale, scale_without_working};

use crate::logs::{self, RULES, Wood};
use crate::measuring::Rate;
use crate::other_pieces::{self, Bundle};
use crate::table::{Table, grouped, hundredths};

/// How many logs are scaled between two looks at the clock.
const PORTION: usize = 32;

/// Measures and prints.
pub fn run() -> Result<()> {
    let sound = logs::logs(Wood::Sound)?;
    let defective = logs::logs(Wood::Defective)?;
    let plain = Plain::of(&sound)?;
    let sizes = plain.sizes.as_slice();
    // A plain loop over all of them takes so little time that the clock would be felt between smaller portions.
    let look_up = Rate::measured(sizes, sizes.len(), |sizes| {
        black_box(plain.look_up(black_box(sizes)));
    });
    let formula = Rate::measured(sizes, sizes.len(), |sizes| {
        black_box(Plain::formula(black_box(sizes)));
    });
    println!(
        "Logs scaled a second on one core, medians of several rounds over {} made-up logs.",
        sound.len()
    );
    println!(
        "A plain look-up loop does {}, a plain formula loop {}.",
        grouped(look_up.a_second()),
        grouped(formula.a_second())
    );
    println!(
        "With the working, every step and its numbers are made; its words are put together when they are read."
    );
    println!(
        "The last two columns say how many times as fast the plain loops are as scaling without the working.\n"
    );
    let mut table =
        Table::headed(["rule and wood", "without working", "with working", "look-up loop", "formula loop"]);
    for rule in RULES {
        let practice = logs::practice(rule)?;
        for (wood, name) in [(&sound, "sound"), (&defective, "defective")] {
            check(&practice, wood)?;
            let without = Rate::measured(wood, PORTION, |logs| without_working(&practice, logs));
            let with = Rate::measured(wood, PORTION, |logs| with_working(&practice, logs));
            table.row([
                format!("{rule}, {name}"),
                grouped(without.a_second()),
                grouped(with.a_second()),
                hundredths(without.hundredths_slower_than(look_up)),
                hundredths(without.hundredths_slower_than(formula)),
            ]);
        }
    }
    for line in table.lines() {
        println!("{line}");
    }
    other_pieces()
}

/// The same of pieces that no plain loop could scale.
fn other_pieces() -> Result<()> {
    let mut table = Table::headed(["other pieces", "without working", "with working"]);
    for Bundle { what, practice, pieces } in other_pieces::bundles()? {
        check(&practice, &pieces)?;
        let without = Rate::measured(&pieces, PORTION, |pieces| without_working(&practice, pieces));
        let with = Rate::measured(&pieces, PORTION, |pieces| with_working(&practice, pieces));
        table.row([what.to_owned(), grouped(without.a_second()), grouped(with.a_second())]);
    }
    println!();
    for line in table.lines() {
        println!("{line}");
    }
    Ok(())
}

fn without_working(practice: &Practice, pieces: &[Piece]) {
    for piece in pieces {
        // What nobody looks at, the compiler might leave out.
        black_box(&scale_without_working(practice, piece));
    }
}

fn with_working(practice: &Practice, pieces: &[Piece]) {
    for piece in pieces {
        black_box(&scale(practice, piece));
    }
}

/// Refusing a piece is quicker than scaling it, so none may be refused.
fn check(practice: &Practice, pieces: &[Piece]) -> Result<()> {
    for piece in pieces {
        scale(practice, piece).with_context(|| format!("{piece:?}"))?;
    }
    Ok(())
}

/// The loops a program without readings, defects, exactness or problems would run: diameter and length are
/// whole numbers already.
struct Plain {
    sizes: Vec<(i64, i64)>,
    /// Board feet of Decimal C, a row of [`Self::COLUMNS`] feet for each inch.
    table: Vec<i64>,
}

impl Plain {
    const COLUMNS: i64 = 41;
    const ROWS: i64 = 49;

    fn of(logs: &[Piece]) -> Result<Self> {
        let practice = logs::practice(RuleName::ScribnerDecimalC)?;
        let size = |log: &Piece| -> Result<(i64, i64)> {
            let scaled = scale_without_working(&practice, log)?;
            let whole = |size: Option<Exact>| -> Result<i64> {
                Ok(size
                    .and_then(Exact::whole)
                    .context("a table is entered with whole numbers")?
                    .try_into()?)
            };
            Ok((whole(scaled.scaling_diameter_in)?, whole(scaled.scaling_length_ft)?))
        };
        Ok(Self {
            sizes: logs.iter().map(size).collect::<Result<_>>()?,
            table: (0..Self::ROWS * Self::COLUMNS)
                .map(|place| cell(place / Self::COLUMNS, place % Self::COLUMNS))
                .collect(),
        })
    }

    /// A cell of a table for each log, added up.
    fn look_up(&self, sizes: &[(i64, i64)]) -> i64 {
        let cell = |(diameter, length): &(i64, i64)| {
            let place = usize::try_from(diameter * Self::COLUMNS + length).ok()?;
            self.table.get(place).copied()
        };
        sizes.iter().filter_map(cell).sum()
    }

    /// Doyle's formula to the nearest board foot for each log, added up.
    fn formula(sizes: &[(i64, i64)]) -> i64 {
        sizes.iter().map(|(diameter, length)| ((diameter - 4) * (diameter - 4) * length + 8) / 16).sum()
    }
}

/// What Decimal C gives, or nothing where it has no cell.
fn cell(diameter: i64, length: i64) -> i64 {
    use rules::scribner_decimal_c::{Cell, cell};
    let board_feet = match cell(Exact::of(diameter.into()), Exact::of(length.into())) {
        Ok(Cell::Printed(board_feet)) => board_feet,
        Ok(Cell::FromMemory { product, .. }) => product,
        Err(_) => Exact::ZERO,
    };
    let tens = board_feet.rounded_to(Exact::of(10), kernel::Rounding::HalfUp).unwrap_or(Exact::ZERO);
    let whole = if board_feet.whole().is_some_and(|feet| feet < 10) { board_feet } else { tens };
    whole.whole().and_then(|feet| i64::try_from(feet).ok()).unwrap_or_default()
}
