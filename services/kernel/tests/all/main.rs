//! What the crate promises, tested through its public face.

#[cfg(test)]
mod exact_against_an_oracle;
#[cfg(test)]
mod exact_at_its_edges;
