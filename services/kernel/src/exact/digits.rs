//! A number's text, put together from its last digit to its first without asking for memory.

/// Room for a sign, two numbers of one word and what stands between them.
const ROOM: usize = 42;

/// The text so far: the bytes from `begin` on.
pub(crate) struct Digits {
    bytes: [u8; ROOM],
    begin: usize,
}

impl Digits {
    /// Nothing yet.
    pub(crate) const fn new() -> Self {
        Self { bytes: [b'0'; ROOM], begin: ROOM }
    }

    /// Puts a sign or point in front.
    pub(crate) fn mark(&mut self, mark: u8) {
        self.begin = self.begin.saturating_sub(1);
        if let Some(place) = self.bytes.get_mut(self.begin) {
            *place = mark;
        }
    }

    /// Puts a number in front.
    pub(crate) fn number(&mut self, number: u64) {
        let mut left = number;
        loop {
            self.digit(left);
            left /= 10;
            if left == 0 {
                return;
            }
        }
    }

    /// Puts a number in front with zeros before it, `places` digits in all.
    pub(crate) fn padded(&mut self, number: u64, places: u32) {
        let mut left = number;
        for _ in 0..places {
            self.digit(left);
            left /= 10;
        }
    }

    fn digit(&mut self, number: u64) {
        self.mark(b'0' + u8::try_from(number % 10).unwrap_or(0));
    }

    /// The text.
    pub(crate) fn as_str(&self) -> &str {
        self.bytes.get(self.begin..).and_then(|bytes| std::str::from_utf8(bytes).ok()).unwrap_or_default()
    }
}
