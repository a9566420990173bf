//! Fuzz targets: made-up documents against the parsers, made-up pieces and practices against the engine.
//!
//! Within `cargo test` each target tries a bounded number of cases that are the same in every run. To go on for as long
//! as asked, with other cases from batch to batch:
//!
//! ```text
//! FUZZ_SECONDS=600 cargo test --release -p scaling --test fuzz -- --nocapture --test-threads 1
//! ```
//!
//! That many seconds go to each target; a name at the end picks one of them, such as `pieces_under_practices`. `FUZZ_SEED`
//! is the number of the first batch, 0 where it is left out, so that two machines need not try the same cases. A failure
//! prints what failed, made as small as it can be, and the number of its batch, with which it comes again.

#[cfg(test)]
mod documents;
#[cfg(test)]
mod engine;
#[cfg(test)]
mod good_documents;
#[cfg(test)]
mod law;
#[cfg(test)]
#[path = "../all/made_up.rs"]
mod made_up;
#[cfg(test)]
mod members;
#[cfg(test)]
mod pieces;
#[cfg(test)]
mod practices;
#[cfg(test)]
mod requests;
#[cfg(test)]
mod running;
