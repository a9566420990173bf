//! Answering with a paper: JSON as always, one page of HTML, or a PDF document. The paper is made from the very reply
//! that would be sent as JSON, so that all three say the same.

use actix_web::HttpResponse;
use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use actix_web::web::block;
use papers::Paper;
use serde::Serialize;
use wire::{Code, PaperFormat, PaperSize};

use super::refusal::Refusal;

/// In which form, and on which paper.
#[derive(Clone, Copy, Debug)]
pub struct OnPaper {
    format: PaperFormat,
    size: PaperSize,
}

impl OnPaper {
    /// What was asked for.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] when a size of paper is named for a form that has none.
    pub fn asked(format: Option<PaperFormat>, paper: Option<PaperSize>) -> Result<Self, Refusal> {
        let format = format.unwrap_or_default();
        if paper.is_some() && format != PaperFormat::Pdf {
            let says = "`paper` goes with `format=pdf`: leave it out, the other forms have no pages";
            return Err(Refusal::new(Code::WrongAddress, says));
        }
        Ok(Self { format, size: paper.unwrap_or_default() })
    }

    /// The answer, in the form that was asked for.
    ///
    /// # Errors
    ///
    /// [`Code::Internal`] when it cannot be set.
    pub async fn answer<T: Serialize>(
        self,
        shown: &T,
        paper: impl FnOnce(&T) -> Paper,
    ) -> Result<HttpResponse, Refusal> {
        match self.format {
            PaperFormat::Json => Ok(HttpResponse::Ok().json(shown)),
            PaperFormat::Html => Ok(page(&paper(shown))),
            PaperFormat::Pdf => document(paper(shown), self.size).await,
        }
    }
}

/// The paper as a page, with which a browser may do nothing but show it.
pub fn page(paper: &Paper) -> HttpResponse {
    HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, "text/html; charset=utf-8"))
        .insert_header((CONTENT_DISPOSITION, named(paper, "html")))
        .insert_header((CONTENT_SECURITY_POLICY, papers::CONTENT_SECURITY_POLICY))
        .insert_header(("X-Content-Type-Options", "nosniff"))
        .insert_header(("Referrer-Policy", "no-referrer"))
        .body(papers::html(paper))
}

/// The paper as a document. Setting it takes a while, so that it is done beside the threads that answer.
///
/// # Errors
///
/// [`Code::Internal`] when it cannot be set.
pub async fn document(paper: Paper, size: PaperSize) -> Result<HttpResponse, Refusal> {
    let name = named(&paper, "pdf");
    let set = block(move || papers::pdf(&paper, size)).await;
    let document = match set {
        Ok(Ok(document)) => document,
        Ok(Err(error)) => return Err(Refusal::internal(format!("a paper could not be set: {error}"))),
        Err(error) => return Err(Refusal::internal(format!("setting a paper was broken off: {error}"))),
    };
    Ok(HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, PaperFormat::Pdf.media_type()))
        .insert_header((CONTENT_DISPOSITION, name))
        .insert_header(("X-Content-Type-Options", "nosniff"))
        .body(document))
}

/// Shown where it is opened, and named when it is kept (RFC 6266).
fn named(paper: &Paper, ending: &str) -> String {
    format!("inline; filename=\"{}.{ending}\"", paper.file_name)
}
