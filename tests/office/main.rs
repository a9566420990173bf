//! `skid` in the office and for the contractor: in a terminal and over pipes, against the real service.

#[cfg(test)]
mod bookkeeper;
#[cfg(test)]
mod contractor;
#[cfg(test)]
mod filing;
#[cfg(test)]
mod importing;
#[cfg(test)]
mod machine;
#[cfg(test)]
mod terminal;
