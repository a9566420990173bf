//! The words, numbers and quoted texts of a line.

use super::Misread;

/// A part of a line between blanks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token {
    /// As it was typed, without quotation marks.
    Bare(String),
    /// What stood in quotation marks.
    Quoted(String),
}

impl Token {
    /// The text, for what can stand with or without quotation marks.
    pub(super) fn text(&self) -> &str {
        match self {
            Self::Bare(text) | Self::Quoted(text) => text,
        }
    }

    /// The word in lower case; none of a number or of what was quoted.
    pub(super) fn word(&self) -> Option<String> {
        match self {
            Self::Bare(text) if !is_number(text) => Some(text.to_lowercase()),
            Self::Bare(_) | Self::Quoted(_) => None,
        }
    }

    /// The number, with whatever is written with it.
    pub(super) fn number(&self) -> Option<&str> {
        match self {
            Self::Bare(text) if is_number(text) => Some(text),
            Self::Bare(_) | Self::Quoted(_) => None,
        }
    }
}

fn is_number(text: &str) -> bool {
    text.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.')
}

/// The parts of a line between commas, each in its words.
pub(super) fn parts(line: &str) -> Result<Vec<Vec<Token>>, Misread> {
    let mut parts = vec![Vec::new()];
    let mut bare = String::new();
    let mut letters = line.chars().peekable();
    let end = |bare: &mut String, parts: &mut Vec<Vec<Token>>| {
        if let (false, Some(part)) = (bare.is_empty(), parts.last_mut()) {
            part.push(Token::Bare(std::mem::take(bare)));
        }
    };
    while let Some(letter) = letters.next() {
        match letter {
            ',' => {
                end(&mut bare, &mut parts);
                parts.push(Vec::new());
            }
            // The mark of inches: it says nothing that its place does not say.
            '"' | '″' | '”' if is_number(&bare) && bare.contains('\'') => {}
            '"' | '“' | '”' => {
                end(&mut bare, &mut parts);
                let mut quoted = String::new();
                // What a telephone begins with its own marks it may end with them.
                let ends = |mark: char| mark == '"' || (letter != '"' && mark == '”');
                loop {
                    match letters.next() {
                        Some('"') if letters.next_if_eq(&'"').is_some() => quoted.push('"'),
                        Some(mark) if ends(mark) => break,
                        Some(letter) => quoted.push(letter),
                        None => {
                            return Err(Misread::new("a quotation mark is not closed: type \" behind it"));
                        }
                    }
                }
                parts.last_mut().into_iter().for_each(|part| part.push(Token::Quoted(quoted.clone())));
            }
            blank if blank.is_whitespace() => end(&mut bare, &mut parts),
            // As keyboards of telephones write them.
            '×' => bare.push('x'),
            '’' | '′' | '‘' if is_number(&bare) => bare.push('\''),
            letter => bare.push(letter),
        }
    }
    end(&mut bare, &mut parts);
    parts.iter_mut().for_each(|part| *part = joined(std::mem::take(part)));
    Ok(parts)
}

/// `12 x 10`, `12 by 10` and `14 / 15` are one number each.
fn joined(part: Vec<Token>) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::with_capacity(part.len());
    let mut part = part.into_iter().peekable();
    while let Some(token) = part.next() {
        let sign = match token.word().as_deref() {
            Some("x" | "by") => Some('x'),
            Some("/") => Some('/'),
            _ => None,
        };
        let before = tokens.last().and_then(Token::number).map(str::to_owned);
        let after = part.peek().and_then(Token::number).map(str::to_owned);
        match (before, sign, after) {
            (Some(before), Some(sign), Some(after)) => {
                let _joined = (tokens.pop(), part.next());
                tokens.push(Token::Bare(format!("{before}{sign}{after}")));
            }
            _ => tokens.push(token),
        }
    }
    tokens
}
