//! The journal, and records of money.

diesel::table! {
    journal_entry (outfit_id, journal_entry_id) {
        outfit_id -> Uuid,
        journal_entry_id -> Uuid,
        dated -> Date,
        says -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    journal_posting (outfit_id, journal_entry_id, position) {
        outfit_id -> Uuid,
        journal_entry_id -> Uuid,
        position -> Int2,
        account -> Text,
        task -> Nullable<Text>,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        amount_minor -> Int8,
        detail -> Nullable<Text>,
    }
}

diesel::table! {
    charge (outfit_id, charge_id) {
        outfit_id -> Uuid,
        charge_id -> Uuid,
        worker_id -> Uuid,
        dated -> Date,
        kind -> Text,
        says -> Text,
        amount_minor -> Int8,
        most_a_week_minor -> Int8,
        cuts_into_minimum -> Bool,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    advance (outfit_id, advance_id) {
        outfit_id -> Uuid,
        advance_id -> Uuid,
        worker_id -> Uuid,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        recovery -> Jsonb,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    payment (outfit_id, payment_id) {
        outfit_id -> Uuid,
        payment_id -> Uuid,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    holdback_release (outfit_id, release_id) {
        outfit_id -> Uuid,
        release_id -> Uuid,
        worker_id -> Uuid,
        contract_id -> Uuid,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    reversal (outfit_id, reversal_id) {
        outfit_id -> Uuid,
        reversal_id -> Uuid,
        charge_id -> Nullable<Uuid>,
        advance_id -> Nullable<Uuid>,
        payment_id -> Nullable<Uuid>,
        release_id -> Nullable<Uuid>,
        reason -> Text,
        journal_entry_id -> Nullable<Uuid>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
