//! What is handed over on paper: scale tickets, statements, crew sheets and audit reports.
//!
//! One file a paper makes a [`Paper`] from a reply of the API; two setters set the same paper as one page of HTML
//! ([`html()`]) and as a PDF document ([`pdf()`]). Nothing is computed on the way: what stands on a paper stands in the reply.

pub mod charts;
mod crew_sheet;
mod html;
mod paper;
mod pdf;
mod report;
mod statement;
mod table;
mod ticket;
mod volumes;
pub mod words;

pub use crew_sheet::crew_sheet;
pub use html::{CONTENT_SECURITY_POLICY, html};
pub use paper::{Block, Chart, Fact, Lead, Paper, Section, Standing, Sum};
pub use pdf::{PdfError, pdf};
pub use report::report;
pub use statement::statement;
pub use table::{Cell, Column, Kind, NONE, Row, Table};
pub use ticket::ticket;
pub use wire::PaperSize;
