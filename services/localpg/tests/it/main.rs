//! The crate from outside, with real servers.

#[cfg(test)]
mod cluster;
#[cfg(test)]
mod parent_death;
#[cfg(test)]
mod support;
#[cfg(test)]
mod throwaway;
