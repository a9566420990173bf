//! Posted weeks computed again: what was tampered with behind the service's back is found, and nothing else.

mod adjusted;
mod editions;
mod portions;
mod tampering;
