//! Every operation, driven from the service's own list: who is let in, who is not, and what nobody else may see.

mod methods;
mod mills;
mod outfits;
mod roles;
mod tokens;
