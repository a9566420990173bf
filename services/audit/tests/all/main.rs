//! What the crate promises, tested through its public face.

#[cfg(test)]
mod against_a_library;
#[cfg(test)]
mod cruise;
#[cfg(test)]
mod laws;
#[cfg(test)]
mod published;
