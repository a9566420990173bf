//! Dividing strips into pages: what clings stays together, a page begins with no room, and a table that goes on has its
//! head again.

use super::length::Length;
use super::strips::Strip;

/// A strip at its place on a page.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placed<'a> {
    /// How far below the top of the page's body.
    pub(crate) y: Length,
    /// The strip.
    pub(crate) strip: &'a Strip,
    /// Whether it stands here again, having been read before.
    pub(crate) again: bool,
}

/// The pages, each with its strips from the top. There is always one.
pub(crate) fn pages<'a>(strips: &'a [Strip], heads: &'a [Strip], body: Length) -> Vec<Vec<Placed<'a>>> {
    let mut pages = Pages { pages: vec![Vec::new()], used: Length::ZERO, heads, body };
    let mut rest = strips;
    while !rest.is_empty() {
        let together = rest.iter().take_while(|strip| strip.clings).count().saturating_add(1).min(rest.len());
        let (chain, after) = rest.split_at(together);
        let height = Length::sum(chain.iter().map(|strip| strip.height));
        let on_a_new_page = height.plus(pages.head_height(chain.first()));
        let first = chain.iter().find(|strip| !strip.is_room());
        if first.is_some() && !pages.fits(height) && on_a_new_page <= body {
            pages.turn(first);
        }
        for strip in chain {
            let fits = pages.fits(strip.height);
            if !fits && !strip.is_room() {
                pages.turn(Some(strip));
            }
            if fits || !strip.is_room() {
                pages.place(strip);
            }
        }
        rest = after;
    }
    pages.pages
}

struct Pages<'a> {
    pages: Vec<Vec<Placed<'a>>>,
    used: Length,
    heads: &'a [Strip],
    body: Length,
}

impl<'a> Pages<'a> {
    fn fits(&self, height: Length) -> bool {
        self.used.plus(height) <= self.body
    }

    /// The head that a page has to begin with, if this strip is its first.
    fn head(&self, strip: Option<&Strip>) -> Option<&'a Strip> {
        let strip = strip.filter(|strip| !strip.is_head)?;
        self.heads.get(strip.table?)
    }

    fn head_height(&self, strip: Option<&Strip>) -> Length {
        self.head(strip).map_or(Length::ZERO, |head| head.height)
    }

    /// Begins a new page; nothing happens where the page is new already.
    fn turn(&mut self, first: Option<&Strip>) {
        if self.pages.last().is_some_and(Vec::is_empty) {
            return;
        }
        self.pages.push(Vec::new());
        self.used = Length::ZERO;
        if let Some(head) = self.head(first) {
            self.put(head, true);
        }
    }

    fn place(&mut self, strip: &'a Strip) {
        let begins = self.pages.last().is_some_and(Vec::is_empty);
        if !(begins && strip.is_room()) {
            self.put(strip, false);
        }
    }

    fn put(&mut self, strip: &'a Strip, again: bool) {
        if let Some(page) = self.pages.last_mut() {
            page.push(Placed { y: self.used, strip, again });
            self.used = self.used.plus(strip.height);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(points: i64, clings: bool) -> Strip {
        let rule = super::super::strips::Mark::Rule {
            x: Length::ZERO,
            y: Length::ZERO,
            width: Length::ZERO,
            weight: Length::ZERO,
            grey: 0,
        };
        Strip { height: Length::points(points), clings, marks: vec![rule], ..Strip::default() }
    }

    fn counts(strips: &[Strip], heads: &[Strip]) -> Vec<usize> {
        pages(strips, heads, Length::points(100)).iter().map(Vec::len).collect()
    }

    #[test]
    fn what_clings_stays_together_as_long_as_it_fits_on_a_page() {
        assert_eq!(counts(&[], &[]), [0]);
        assert_eq!(counts(&[strip(60, false), strip(40, false), strip(1, false)], &[]), [2, 1]);
        assert_eq!(counts(&[strip(60, false), strip(30, true), strip(30, false)], &[]), [1, 2]);
        // Higher than a page: it is divided where it must be, and begins where it stands.
        let long: Vec<_> = (0..5).map(|place| strip(30, place < 4)).collect();
        assert_eq!(counts(&[vec![strip(50, false)], long].concat(), &[]), [2, 3, 1]);
    }

    #[test]
    fn a_table_that_goes_on_has_its_head_again() {
        let head = Strip { table: Some(0), is_head: true, ..strip(20, true) };
        let row = || Strip { table: Some(0), ..strip(30, false) };
        let strips = [head.clone(), row(), row(), row(), row()];
        assert_eq!(counts(&strips, &[head]), [3, 3]);
    }
}
