//! Settlements and statements.

diesel::table! {
    settlement (outfit_id, settlement_id) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        week_ends_on -> Date,
        lines -> Jsonb,
        fingerprint -> Bytea,
        drafted_at -> Timestamptz,
        drafted_by -> Text,
        pays -> Jsonb,
        volumes -> Jsonb,
    }
}

diesel::table! {
    settlement_posting (outfit_id, settlement_id) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        week_ends_on -> Date,
        journal_entry_id -> Nullable<Uuid>,
        posted_at -> Timestamptz,
        posted_by -> Text,
    }
}

diesel::table! {
    settlement_line (outfit_id, settlement_id, line_number) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        line_number -> Int4,
        week_ends_on -> Date,
        contract_id -> Uuid,
        terms_id -> Uuid,
        rate_number -> Int2,
        crew_id -> Nullable<Uuid>,
        share_set_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        quantity -> Int8,
        pieces -> Int8,
        amount_minor -> Int8,
        entered -> Array<Uuid>,
        withdrawn -> Array<Uuid>,
        worker_id -> Nullable<Uuid>,
    }
}

diesel::table! {
    settlement_share (outfit_id, settlement_id, line_number, position) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        line_number -> Int4,
        position -> Int2,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        amount_minor -> Int8,
    }
}

diesel::table! {
    settlement_supplement (outfit_id, settlement_id, worker_id, week_ends_on, supplement) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Uuid,
        week_ends_on -> Date,
        supplement -> Text,
        amount_minor -> Int8,
    }
}

diesel::table! {
    settlement_take_off (outfit_id, settlement_id, worker_id, position) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Uuid,
        position -> Int2,
        contract_id -> Nullable<Uuid>,
        advance_id -> Nullable<Uuid>,
        charge_id -> Nullable<Uuid>,
        due_minor -> Int8,
        taken_minor -> Int8,
    }
}

diesel::table! {
    statement (outfit_id, statement_id) {
        outfit_id -> Uuid,
        statement_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        opening_minor -> Int8,
        earned_minor -> Int8,
        closing_minor -> Int8,
        added_minor -> Int8,
        kept_back_minor -> Int8,
        moved_minor -> Int8,
    }
}

diesel::table! {
    late_change (outfit_id, settlement_id, from_day, to_day, record_id) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        from_day -> Date,
        to_day -> Date,
        record_id -> Uuid,
    }
}
