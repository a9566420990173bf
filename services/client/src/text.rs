//! Papers as plain text.

/// A settlement.
pub fn settlement(_: &wire::SettlementView) -> String {
    String::new()
}
/// A.
pub fn statement(_: &wire::StatementView) -> String {
    String::new()
}
/// A.
pub fn explanation(_: &wire::LineExplanation) -> String {
    String::new()
}
/// A.
pub fn audit(_: &wire::VolumeAgainstPay) -> String {
    String::new()
}
