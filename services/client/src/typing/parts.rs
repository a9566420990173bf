//! Going through the words of a part, one after the other.

use super::Misread;
use super::sizes::Size;
use super::token::Token;

/// The words of a part that are still to be read.
pub(super) struct Words<'a> {
    left: std::slice::Iter<'a, Token>,
}

impl<'a> Words<'a> {
    pub(super) fn new(part: &'a [Token]) -> Self {
        Self { left: part.iter() }
    }

    pub(super) fn peek(&self) -> Option<&'a Token> {
        self.left.as_slice().first()
    }

    /// The next but one.
    pub(super) fn second(&self) -> Option<&'a Token> {
        self.left.as_slice().get(1)
    }

    pub(super) fn next(&mut self) -> Option<&'a Token> {
        self.left.next()
    }

    /// Takes the next word if it is this one.
    pub(super) fn take(&mut self, word: &str) -> bool {
        let is_it = self.peek().and_then(Token::word).is_some_and(|next| next == word);
        if is_it {
            let _word = self.next();
        }
        is_it
    }

    /// The number that has to follow a word.
    pub(super) fn size(&mut self, behind: &str) -> Result<Size, Misread> {
        let typed = self.next().and_then(Token::number);
        let typed = typed.ok_or_else(|| Misread::new(format!("{behind}: a number is missing behind it")))?;
        Size::read(typed)
    }

    /// The text that has to follow a word.
    pub(super) fn text(&mut self, behind: &str) -> Result<&'a str, Misread> {
        let next = self.next().map(Token::text);
        next.ok_or_else(|| {
            Misread::new(format!("{behind}: a word is missing behind it; several go in quotation marks"))
        })
    }
}
