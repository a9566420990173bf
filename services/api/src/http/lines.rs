//! Bodies of lines: newline-delimited JSON, read as it comes and never held whole.

use std::time::Duration;

use actix_web::dev::Payload;
use actix_web::web::Bytes;
use futures_util::StreamExt;
use wire::Code;

use super::arriving;
use super::body::BODY_LIMIT;
use super::refusal::Refusal;

/// A line of the body.
#[derive(Debug, PartialEq, Eq)]
pub enum Line {
    /// Its text, without the end of the line.
    Text(Vec<u8>),
    /// It is longer than a body may be; what it says is thrown away.
    TooLong,
}

/// Reads lines from a body that is still coming in. Blank lines are counted and passed over.
pub struct Lines {
    payload: Payload,
    wait: Duration,
    chunk: Bytes,
    read: u64,
    open: Option<Line>,
    over: bool,
}

impl std::fmt::Debug for Lines {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Lines").field("read", &self.read).finish_non_exhaustive()
    }
}

impl Lines {
    /// The lines of a body, whose next portion is waited for so long.
    pub fn of(payload: Payload, wait: Duration) -> Self {
        Self { payload, wait, chunk: Bytes::new(), read: 0, open: None, over: false }
    }

    /// The next line that is not blank, with its number from 1; none after the last one.
    ///
    /// # Errors
    ///
    /// [`Code::NotJson`] when the body breaks off; [`Code::Overloaded`] when it does not go on.
    pub async fn next(&mut self) -> Result<Option<(u64, Line)>, Refusal> {
        loop {
            if let Some(end) = self.chunk.iter().position(|byte| *byte == b'\n') {
                let part = self.chunk.split_to(end.saturating_add(1));
                self.add(part.get(..end).unwrap_or_default());
                if let Some(line) = self.finish() {
                    return Ok(Some((self.read, line)));
                }
                continue;
            }
            let part = std::mem::take(&mut self.chunk);
            self.add(&part);
            if self.over {
                return Ok(self.finish().map(|line| (self.read, line)));
            }
            match arriving::within(self.wait, self.payload.next()).await? {
                Some(Ok(chunk)) => self.chunk = chunk,
                Some(Err(error)) => {
                    let detail = format!("the body broke off after line {}: {error}", self.read);
                    return Err(Refusal::new(Code::NotJson, detail));
                }
                None => self.over = true,
            }
        }
    }

    fn add(&mut self, part: &[u8]) {
        match self.open.get_or_insert_with(|| Line::Text(Vec::new())) {
            Line::Text(text) if text.len().saturating_add(part.len()) <= BODY_LIMIT => {
                text.extend_from_slice(part);
            }
            line => *line = Line::TooLong,
        }
    }

    /// Ends the open line; nothing when it is blank.
    fn finish(&mut self) -> Option<Line> {
        self.read = self.read.saturating_add(1);
        match self.open.take()? {
            Line::TooLong => Some(Line::TooLong),
            Line::Text(mut text) => {
                if text.last() == Some(&b'\r') {
                    text.pop();
                }
                (!text.iter().all(u8::is_ascii_whitespace)).then_some(Line::Text(text))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use futures_util::stream;

    use super::*;

    async fn read(chunks: &'static [&'static str]) -> Vec<(u64, String)> {
        let parts = chunks.iter().map(|chunk| Ok(Bytes::from_static(chunk.as_bytes())));
        let payload = Payload::Stream { payload: stream::iter(parts).boxed_local() };
        let mut lines = Lines::of(payload, Duration::from_secs(1));
        let mut found = Vec::new();
        while let Some((number, line)) = lines.next().await.unwrap() {
            found.push(match line {
                Line::Text(text) => (number, String::from_utf8(text).unwrap()),
                Line::TooLong => (number, "(too long)".to_owned()),
            });
        }
        found
    }

    #[actix_web::test]
    async fn lines_are_found_wherever_the_chunks_are_cut() {
        let expected = [(1, "one"), (3, "three"), (4, "four")];
        let expected = expected.map(|(number, text)| (number, text.to_owned()));
        assert_eq!(read(&["one\n\nthree\r\nfour"]).await, expected);
        assert_eq!(read(&["o", "ne\n", "\nth", "ree\r", "\n", "", "four\n"]).await, expected);
        assert_eq!(read(&["one\n \t\nthree\nfour\n\n\n"]).await, expected);
        assert_eq!(read(&[]).await, []);
        assert_eq!(read(&["", "\n"]).await, []);
    }

    #[actix_web::test]
    async fn a_body_that_does_not_go_on_is_given_up() {
        let first = stream::iter([Ok(Bytes::from_static(b"one\ntwo"))]);
        let payload = Payload::Stream { payload: first.chain(stream::pending()).boxed_local() };
        let mut lines = Lines::of(payload, Duration::from_millis(50));
        assert_eq!(lines.next().await.unwrap(), Some((1, Line::Text(b"one".to_vec()))));
        assert_eq!(lines.next().await.unwrap_err().problem.code, Code::Overloaded);
    }

    #[actix_web::test]
    async fn a_line_that_is_too_long_does_not_hide_the_next() {
        static LONG: std::sync::LazyLock<String> =
            std::sync::LazyLock::new(|| format!("{}\nshort", "x".repeat(BODY_LIMIT + 1)));
        let whole: &'static [&'static str] = Box::leak(Box::new([LONG.as_str()]));
        assert_eq!(read(whole).await, [(1, "(too long)".to_owned()), (2, "short".to_owned())]);
    }
}
