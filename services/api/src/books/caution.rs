//! What everything about wages says of itself.

/// Stands on statements, and with wage terms.
pub const CAUTION: &str = "This is arithmetic from the recorded scale and the contract's rates, not legal advice. Wage \
law, minimum and overtime pay, and the licensing of scalers are for local law and licensed professionals to decide.";
