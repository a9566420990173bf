//! Seals against what is published, and laws on random trees.
