//! The letters: Libertinus Serif in three cuts, which may be embedded freely (SIL Open Font License), and how wide a
//! text is in them.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use krilla::text::Font;
use rustybuzz::ttf_parser::name_id;
use rustybuzz::{Direction, Face, UnicodeBuffer};

use super::PdfError;
use super::length::Length;

/// A blank at which no line ends.
const HARD_BLANK: char = '\u{a0}';

/// A cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Cut {
    /// Upright.
    Regular,
    /// For what stands out.
    Bold,
    /// For what is said on the side.
    Italic,
}

/// One cut of the face.
struct Typeface {
    font: Font,
    face: Face<'static>,
}

/// All cuts.
pub(crate) struct Typefaces {
    regular: Typeface,
    bold: Typeface,
    italic: Typeface,
    /// Widths of words that were measured already, in font units.
    measured: RefCell<HashMap<(Cut, String), i64>>,
}

fn typeface(name: &str) -> Result<Typeface, PdfError> {
    let missing = || PdfError::Font(name.to_owned());
    let is_it = |data: &&'static [u8]| {
        Face::from_slice(data, 0).is_some_and(|face| {
            let names = face.names().into_iter().filter(|one| one.name_id == name_id::POST_SCRIPT_NAME);
            names.filter_map(|one| one.to_string()).any(|found| found == name)
        })
    };
    let data = typst_assets::fonts().find(is_it).ok_or_else(missing)?;
    let face = Face::from_slice(data, 0).ok_or_else(missing)?;
    let shared: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::new(data);
    let font = Font::new(shared.into(), 0).ok_or_else(missing)?;
    Ok(Typeface { font, face })
}

impl Typefaces {
    /// All cuts, from the fonts that are built in.
    pub(crate) fn open() -> Result<Self, PdfError> {
        Ok(Self {
            regular: typeface("LibertinusSerif-Regular")?,
            bold: typeface("LibertinusSerif-Bold")?,
            italic: typeface("LibertinusSerif-Italic")?,
            measured: RefCell::new(HashMap::new()),
        })
    }

    fn cut(&self, cut: Cut) -> &Typeface {
        match cut {
            Cut::Regular => &self.regular,
            Cut::Bold => &self.bold,
            Cut::Italic => &self.italic,
        }
    }

    /// The font, to draw with.
    pub(crate) fn font(&self, cut: Cut) -> Font {
        self.cut(cut).font.clone()
    }

    /// How wide a text is in letters of this size.
    pub(crate) fn width(&self, cut: Cut, size: Length, text: &str) -> Length {
        let face = &self.cut(cut).face;
        let key = (cut, text.to_owned());
        let known = self.measured.borrow().get(&key).copied();
        let units = known.unwrap_or_else(|| {
            let mut buffer = UnicodeBuffer::new();
            buffer.push_str(text);
            buffer.guess_segment_properties();
            buffer.set_direction(Direction::LeftToRight);
            let shaped = rustybuzz::shape(face, &[], buffer);
            let units = shaped.glyph_positions().iter().map(|one| i64::from(one.x_advance)).sum();
            self.measured.borrow_mut().insert(key, units);
            units
        });
        size.of_units(units, i64::from(face.units_per_em()))
    }

    /// The text with nothing in it that the face cannot show: a letter that it has not is spelled by its number in
    /// Unicode, which is ugly and loses nothing; what breaks or directs lines becomes a blank or nothing.
    pub(crate) fn shown(&self, text: &str) -> String {
        let mut shown = String::with_capacity(text.len());
        for letter in text.chars() {
            if letter == HARD_BLANK {
                shown.push(letter);
            } else if letter.is_whitespace() {
                shown.push(' ');
            } else if letter.is_control() || is_unseen(letter) {
            } else if self.has(letter) {
                shown.push(letter);
            } else {
                shown.push_str(&format!("U+{:04X}", u32::from(letter)));
            }
        }
        shown
    }

    fn has(&self, letter: char) -> bool {
        let has = |one: &Typeface| one.face.glyph_index(letter).is_some_and(|glyph| glyph.0 != 0);
        [&self.regular, &self.bold, &self.italic].into_iter().all(has)
    }
}

/// What takes no room and may turn the direction of what follows: left out, as nobody could see it on paper.
const fn is_unseen(letter: char) -> bool {
    matches!(letter, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
        | '\u{fe00}'..='\u{fe0f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_all_equally_wide_so_that_they_stand_below_one_another() {
        let faces = Typefaces::open().unwrap();
        for cut in [Cut::Regular, Cut::Bold] {
            let widths: Vec<_> =
                ('0'..='9').map(|digit| faces.width(cut, Length::points(10), &digit.to_string())).collect();
            assert!(widths.iter().all(|width| Some(width) == widths.first()), "{widths:?}");
        }
    }

    #[test]
    fn what_the_face_cannot_show_is_spelled() {
        let faces = Typefaces::open().unwrap();
        assert_eq!(faces.shown("Åsa Þór\tŁukasz Ёлка"), "Åsa Þór Łukasz Ёлка");
        assert_eq!(faces.shown("山\u{202e}x\u{7}"), "U+5C71x");
    }
}
