//! Breaking text into lines: between words, and within a word only where it is wider than the whole column.

use super::length::Length;
use super::typefaces::{Cut, Typefaces};

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Type {
    /// In which letters.
    pub(crate) cut: Cut,
    /// How high.
    pub(crate) size: Length,
    /// From one line to the next.
    pub(crate) leading: Length,
}

impl Type {
    /// Letters of so many tenths of a point, on lines a quarter wider.
    pub(crate) const fn new(cut: Cut, tenths: i64) -> Self {
        let size = Length::thousandths(tenths.saturating_mul(100));
        Self { cut, size, leading: Length::thousandths(tenths.saturating_mul(126)) }
    }

    /// How wide a text is.
    pub(crate) fn width(self, faces: &Typefaces, text: &str) -> Length {
        faces.width(self.cut, self.size, text)
    }
}

/// The lines of a text, none wider than `width` as long as a single letter fits into it. There is always one, be it
/// empty.
pub(crate) fn wrap(faces: &Typefaces, set: Type, text: &str, width: Length) -> Vec<String> {
    let text = faces.shown(text);
    let space = set.width(faces, " ");
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut taken) = (String::new(), Length::ZERO);
    for word in words(&text) {
        for part in parts(faces, set, word, width) {
            let wide = set.width(faces, &part.text);
            let gap = if part.begins && !line.is_empty() { space } else { Length::ZERO };
            let with = taken.plus(gap).plus(wide);
            if line.is_empty() || with <= width {
                if gap > Length::ZERO {
                    line.push(' ');
                }
                taken = with;
            } else {
                lines.push(std::mem::take(&mut line));
                taken = wide;
            }
            line.push_str(&part.text);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// The words of a text; what a hard blank joins is one.
pub(crate) fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(' ').filter(|word| !word.is_empty())
}

/// How wide a text is on one line, as [`wrap`] reckons it.
pub(crate) fn unbroken(faces: &Typefaces, set: Type, text: &str) -> Length {
    let shown = faces.shown(text);
    let space = set.width(faces, " ");
    let widths = words(&shown).map(|word| set.width(faces, word).plus(space));
    Length::sum(widths).minus(space).max(Length::ZERO)
}

/// A word, or a stretch of one.
struct Part {
    text: String,
    begins: bool,
}

/// A word in one part where it fits; else in as many as it takes.
fn parts(faces: &Typefaces, set: Type, word: &str, width: Length) -> Vec<Part> {
    if set.width(faces, word) <= width {
        return vec![Part { text: word.to_owned(), begins: true }];
    }
    let mut parts: Vec<Part> = Vec::new();
    let mut text = String::new();
    let mut flush = |text: &mut String| {
        if !text.is_empty() {
            let begins = parts.is_empty();
            parts.push(Part { begins, text: std::mem::take(text) });
        }
    };
    for letter in word.chars() {
        let mut longer = text.clone();
        longer.push(letter);
        if !text.is_empty() && set.width(faces, &longer) > width {
            flush(&mut text);
        }
        text.push(letter);
        // A break after one of these is where one would look for it.
        if matches!(letter, '-' | '/' | '_' | '@') && set.width(faces, &text) > half(width) {
            flush(&mut text);
        }
    }
    flush(&mut text);
    parts
}

fn half(width: Length) -> Length {
    width.share(Length::points(1), Length::points(2))
}

/// A text on one line: cut with dots where it is wider. For the heads of pages alone, whose words stand whole on the first.
pub(crate) fn on_one_line(faces: &Typefaces, set: Type, text: &str, width: Length) -> String {
    let mut shown = faces.shown(text);
    if set.width(faces, &shown) <= width {
        return shown;
    }
    while !shown.is_empty() && set.width(faces, &format!("{shown}…")) > width {
        shown.pop();
    }
    format!("{}…", shown.trim_end())
}
