//! The sizes of paper, and how much of a page is the paper's own.

use wire::PaperSize;

use super::length::Length;

/// A page's measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Frame {
    pub(super) width: Length,
    pub(super) height: Length,
    /// Left and right of the body.
    pub(super) side: Length,
    /// Above it.
    pub(super) top: Length,
    /// Below it.
    pub(super) foot: Length,
}

impl Frame {
    /// The frame of a size of paper: US Letter is 8.5 by 11 inches, A4 is 210 by 297 millimetres (ISO 216).
    pub(super) const fn of(size: PaperSize) -> Self {
        let (width, height) = match size {
            PaperSize::Letter => (612_000, 792_000),
            PaperSize::A4 => (595_276, 841_890),
        };
        Self {
            width: Length::thousandths(width),
            height: Length::thousandths(height),
            side: Length::points(50),
            top: Length::points(64),
            foot: Length::points(56),
        }
    }

    /// How wide the body is.
    pub(super) const fn body_width(self) -> Length {
        self.width.minus(self.side).minus(self.side)
    }

    /// How high it is.
    pub(super) const fn body_height(self) -> Length {
        self.height.minus(self.top).minus(self.foot)
    }

    /// The middle of the page, across.
    pub(super) fn middle_x(self) -> Length {
        self.width.share(Length::points(1), Length::points(2))
    }

    /// The middle of the page, down.
    pub(super) fn middle_y(self) -> Length {
        self.height.share(Length::points(1), Length::points(2))
    }
}
