//! What is handed over on paper: the same figures as the API says, on a page and in a document, for whoever may see them.

mod apart;
mod camp;
mod document;
mod figures;
mod forms;
mod pages;
