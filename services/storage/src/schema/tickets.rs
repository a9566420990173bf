//! Tickets, what became of them, and the books they are numbered in.

diesel::table! {
    ticket (outfit_id, ticket_id) {
        outfit_id -> Uuid,
        ticket_id -> Uuid,
        book -> Text,
        number -> Int8,
        job_id -> Uuid,
        landing_id -> Uuid,
        scaled_on -> Date,
        scaler -> Text,
        work -> Jsonb,
        turn -> Nullable<Jsonb>,
        delivered_to -> Nullable<Uuid>,
        pieces -> Jsonb,
        remarks -> Nullable<Text>,
        corrects -> Nullable<Uuid>,
        correction_reason -> Nullable<Text>,
        fingerprint -> Bytea,
        accepted_at -> Timestamptz,
        accepted_by -> Text,
        device_time_measured -> Nullable<Timestamptz>,
        device_time_sent -> Nullable<Timestamptz>,
        device_clock_ahead_seconds -> Nullable<Int8>,
        late_for -> Nullable<Uuid>,
    }
}

diesel::table! {
    voided_numbers (outfit_id, voided_numbers_id) {
        outfit_id -> Uuid,
        voided_numbers_id -> Uuid,
        book -> Text,
        first_number -> Int8,
        last_number -> Int8,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    scaler_certificate (outfit_id, scaler_certificate_id) {
        outfit_id -> Uuid,
        scaler_certificate_id -> Uuid,
        scaler -> Text,
        certificate -> Text,
        issued_by -> Text,
        valid_from -> Date,
        valid_to -> Date,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    derivation (outfit_id, derivation_id) {
        outfit_id -> Uuid,
        derivation_id -> Uuid,
        ticket_id -> Uuid,
        contract_id -> Uuid,
        terms_id -> Uuid,
        revision -> Int4,
        derived_at -> Timestamptz,
        units -> Array<Nullable<Text>>,
        gross -> Array<Nullable<Int8>>,
        net -> Array<Nullable<Int8>>,
        culls -> Array<Nullable<Text>>,
        timber -> Nullable<Json>,
    }
}

diesel::table! {
    accrual (outfit_id, derivation_id, rate_number) {
        outfit_id -> Uuid,
        derivation_id -> Uuid,
        rate_number -> Int2,
        scaled_on -> Date,
        quantity -> Int8,
        piece_numbers -> Array<Int2>,
        under_contract -> Nullable<Uuid>,
        under_terms -> Nullable<Uuid>,
    }
}

diesel::table! {
    unpriced (outfit_id, unpriced_id) {
        outfit_id -> Uuid,
        unpriced_id -> Uuid,
        ticket_id -> Uuid,
        derivation_id -> Nullable<Uuid>,
        task -> Text,
        piece_number -> Nullable<Int2>,
        crew_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        reason -> Jsonb,
    }
}

diesel::table! {
    set_aside (outfit_id, set_aside_id) {
        outfit_id -> Uuid,
        set_aside_id -> Uuid,
        ticket_id -> Uuid,
        task -> Text,
        piece_number -> Nullable<Int2>,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    turn_count (outfit_id, turn_count_id) {
        outfit_id -> Uuid,
        turn_count_id -> Uuid,
        job_id -> Uuid,
        counted_on -> Date,
        crew_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        turns -> Int4,
        counted_by -> Text,
        revision -> Int4,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
