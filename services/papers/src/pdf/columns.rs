//! How wide a table's columns are: figures stay whole, words share what is left, and where that is too little the
//! letters get smaller.

use super::length::Length;
use super::typefaces::{Cut, Typefaces};
use super::wrapping::{Type, unbroken, words};
use crate::table::{Kind, Table};

/// Between two columns.
const GAP: Length = Length::points(9);
/// How high letters are, in tenths of a point: the first at which all fits.
const SIZES: [i64; 7] = [92, 86, 80, 74, 68, 62, 56];
/// A word need not stand whole beyond this width.
const LONGEST_WORD: Length = Length::points(110);

/// A table's columns as they are set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Columns {
    /// The letters of the cells.
    pub(crate) cells: Type,
    /// The letters of the headings.
    pub(crate) heads: Type,
    /// Where each column begins, and how wide it is.
    pub(crate) places: Vec<(Length, Length)>,
}

/// What a column asks for.
#[derive(Clone, Copy)]
struct Wish {
    least: Length,
    all: Length,
    words: bool,
}

/// The columns of a table within this width.
pub(crate) fn columns(faces: &Typefaces, table: &Table, width: Length) -> Columns {
    let gaps = GAP.times(table.columns.len().saturating_sub(1));
    let room = width.minus(gaps);
    let mut found = None;
    for size in SIZES {
        let cells = Type::new(Cut::Regular, size);
        let heads = Type::new(Cut::Bold, size.saturating_sub(8));
        let wishes = wishes(faces, table, cells, heads);
        let least = Length::sum(wishes.iter().map(|wish| wish.least));
        let fits = least <= room;
        found = Some((cells, heads, wishes, least));
        if fits {
            break;
        }
    }
    let Some((cells, heads, wishes, least)) = found else {
        return Columns {
            cells: Type::new(Cut::Regular, 90),
            heads: Type::new(Cut::Bold, 82),
            places: Vec::new(),
        };
    };
    let widths = if least <= room { shared(&wishes, least, room) } else { squeezed(&wishes, least, room) };
    let mut x = Length::ZERO;
    let mut places = Vec::with_capacity(widths.len());
    for width in widths {
        places.push((x, width));
        x = x.plus(width).plus(GAP);
    }
    Columns { cells, heads, places }
}

fn wishes(faces: &Typefaces, table: &Table, cells: Type, heads: Type) -> Vec<Wish> {
    let longest = |set: Type, text: &str| {
        let shown = faces.shown(text);
        words(&shown).map(|word| set.width(faces, word)).max().unwrap_or_default()
    };
    let whole = |set: Type, text: &str| unbroken(faces, set, text);
    let bold = Type { cut: Cut::Bold, ..cells };
    let wish = |(place, column): (usize, &crate::table::Column)| {
        let head = longest(heads, &column.head);
        let of_column = || table.rows.iter().filter_map(|row| row.cells.get(place).map(|cell| (row, cell)));
        let set = |total: bool| if total { bold } else { cells };
        let all = of_column().map(|(row, cell)| whole(set(row.total), cell.text())).max().unwrap_or_default();
        match column.kind {
            Kind::Figures => Wish { least: head.max(all), all: head.max(all), words: false },
            Kind::Words => {
                let words = of_column().map(|(row, cell)| longest(set(row.total), cell.text()));
                let words = words.max().unwrap_or_default().min(LONGEST_WORD);
                let all = all.max(whole(heads, &column.head));
                Wish { least: head.max(words), all: head.max(all), words: true }
            }
        }
    };
    table.columns.iter().enumerate().map(wish).collect()
}

/// Everybody has the least; what is left goes to words that would have to be wrapped, and what is left then to the
/// widest column of words before any figures, so that these stand at the right edge.
fn shared(wishes: &[Wish], least: Length, room: Length) -> Vec<Length> {
    let more = |wish: &Wish| wish.all.minus(wish.least);
    let left = room.minus(least);
    let wanted = Length::sum(wishes.iter().map(more));
    if wanted > left {
        return wishes.iter().zip(filled(wishes, left)).map(|(wish, more)| wish.least.plus(more)).collect();
    }
    let over = left.minus(wanted);
    let before = wishes.iter().take_while(|wish| wish.words).enumerate();
    let widest = before.max_by_key(|(_, wish)| wish.all).map_or(0, |(place, _)| place);
    let extra = |place: usize| if place == widest { over } else { Length::ZERO };
    wishes.iter().enumerate().map(|(place, wish)| wish.all.plus(extra(place))).collect()
}

/// What each column gets of the room that is left: those that ask for little get it all, the others equal parts of the
/// rest.
fn filled(wishes: &[Wish], left: Length) -> Vec<Length> {
    let mut given: Vec<Option<Length>> = wishes.iter().map(|_| None).collect();
    let mut left = left;
    loop {
        let open = given.iter().filter(|one| one.is_none()).count();
        let part = left.share(Length::thousandths(1), Length::thousandths(1).times(open));
        let mut content = false;
        for (wish, given) in wishes.iter().zip(&mut given).filter(|(_, given)| given.is_none()) {
            let more = wish.all.minus(wish.least);
            if more <= part {
                *given = Some(more);
                left = left.minus(more);
                content = true;
            }
        }
        if !content {
            return given.into_iter().map(|one| one.unwrap_or(part)).collect();
        }
    }
}

/// There is not even room for the least: each column gets its part, and words are broken where they must be.
fn squeezed(wishes: &[Wish], least: Length, room: Length) -> Vec<Length> {
    wishes.iter().map(|wish| room.share(wish.least, least)).collect()
}
