//! Views: diesel reads them like tables.

diesel::table! {
    standing_time (outfit_id, time_entry_id) {
        outfit_id -> Uuid,
        time_entry_id -> Uuid,
        worker_id -> Uuid,
        worked_on -> Date,
        hours -> Nullable<Int8>,
        what_for -> Text,
    }
}

diesel::table! {
    standing_derivation (outfit_id, derivation_id) {
        outfit_id -> Uuid,
        derivation_id -> Uuid,
        ticket_id -> Uuid,
        contract_id -> Uuid,
        terms_id -> Uuid,
    }
}

diesel::table! {
    open_unpriced (outfit_id, unpriced_id) {
        outfit_id -> Uuid,
        unpriced_id -> Uuid,
        ticket_id -> Uuid,
        task -> Text,
        piece_number -> Nullable<Int2>,
        crew_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        reason -> Jsonb,
        scaled_on -> Date,
        book -> Text,
        number -> Int8,
    }
}
