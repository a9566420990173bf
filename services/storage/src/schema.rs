//! The tables as diesel sees them, a file for each concern. A test compares every column with the migrated database.
#![expect(missing_docs, reason = "the macro's items are described by the migrations' comments")]

mod access;
mod agreements;
mod check_scales;
mod events;
mod money;
mod outside;
mod people;
mod places;
mod seals;
mod settlements;
mod tickets;
mod trail;
mod views;

pub use access::{
    access_grant, access_revocation, account, account_closure, account_enrolment, account_password,
    refresh_token, sign_in_attempt, sign_in_success,
};
pub use agreements::{contract, log_table, terms, wage_terms};
pub use check_scales::{
    check_scale, volume_adjustment, volume_adjustment_quantity, volume_adjustment_reversal,
};
pub use events::{
    delivery, delivery_attempt, delivery_replay, event_subscription, event_subscription_end, signing_secret,
};
pub use money::{advance, charge, holdback_release, journal_entry, journal_posting, payment, reversal};
pub use outside::{cruise, cruise_withdrawal, mill_tally, mill_tally_withdrawal};
pub use people::{crew, outfit, share, share_set, time_entry, worker};
pub use places::{job, landing, mill};
pub use seals::{seal, seal_key, seal_leaf};
pub use settlements::{
    late_change, settlement, settlement_line, settlement_posting, settlement_share, settlement_supplement,
    settlement_take_off, statement,
};
pub use tickets::{
    accrual, derivation, scaler_certificate, set_aside, ticket, turn_count, unpriced, voided_numbers,
};
pub use trail::{audit_entry, stored_reply};
pub use views::{open_unpriced, standing_derivation, standing_time};

diesel::allow_tables_to_appear_in_same_query!(
    outfit,
    worker,
    crew,
    share_set,
    share,
    mill,
    job,
    landing,
    log_table,
    contract,
    terms,
    ticket,
    derivation,
    accrual,
    unpriced,
    set_aside,
    voided_numbers,
    scaler_certificate,
    turn_count,
    mill_tally,
    mill_tally_withdrawal,
    cruise,
    cruise_withdrawal,
    check_scale,
    volume_adjustment,
    volume_adjustment_quantity,
    volume_adjustment_reversal,
    journal_entry,
    journal_posting,
    settlement,
    settlement_posting,
    late_change,
    settlement_line,
    settlement_share,
    statement,
    wage_terms,
    audit_entry,
    stored_reply,
    event_subscription,
    signing_secret,
    event_subscription_end,
    delivery_attempt,
    delivery,
    delivery_replay,
    charge,
    advance,
    payment,
    holdback_release,
    reversal,
    settlement_supplement,
    settlement_take_off,
    time_entry,
    standing_time,
    open_unpriced,
    account,
    account_enrolment,
    account_password,
    account_closure,
    access_grant,
    access_revocation,
    refresh_token,
    sign_in_attempt,
    sign_in_success,
    seal_key,
    seal,
    seal_leaf
);
