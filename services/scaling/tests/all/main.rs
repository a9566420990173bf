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
mod editions;
#[cfg(test)]
mod hewn_and_ties;
#[cfg(test)]
mod long_logs;
#[cfg(test)]
mod made_up;
#[cfg(test)]
mod metric;
#[cfg(test)]
mod own_table_laws;
#[cfg(test)]
mod own_tables;
#[cfg(test)]
mod placed_defects;
#[cfg(test)]
mod practices;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod properties_of_losses;
#[cfg(test)]
mod properties_of_piles;
#[cfg(test)]
mod ranked_piles;
#[cfg(test)]
mod readings_and_lengths;
#[cfg(test)]
mod recalled_rules;
#[cfg(test)]
mod rule_list;
#[cfg(test)]
mod small_tops;
#[cfg(test)]
mod solids;
#[cfg(test)]
mod solids_by_quadrature;
#[cfg(test)]
mod tolerances;
#[cfg(test)]
mod unmeasured_defects;
#[cfg(test)]
mod working;
