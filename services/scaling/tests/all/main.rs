//! What the crate promises, tested through its public face.

#[cfg(test)]
#[cfg(feature = "openapi")]
mod api_document;
#[cfg(test)]
mod common;
#[cfg(test)]
mod deductions;
#[cfg(test)]
mod direct_requests;
#[cfg(test)]
mod documents;
#[cfg(test)]
mod hewn_and_ties;
#[cfg(test)]
mod practices;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod readings_and_lengths;
#[cfg(test)]
mod rule_list;

#[cfg(test)]
mod working;
