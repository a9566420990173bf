//! What a yard needs to scale by itself.

mod practices;
