//! What was agreed: log tables, contracts and their terms, wage terms.

diesel::table! {
    log_table (outfit_id, log_table_id) {
        outfit_id -> Uuid,
        log_table_id -> Uuid,
        title -> Text,
        version -> Int4,
        unit -> Text,
        document -> Jsonb,
        fingerprint -> Bytea,
        filed_at -> Timestamptz,
        filed_by -> Text,
    }
}

diesel::table! {
    contract (outfit_id, contract_id) {
        outfit_id -> Uuid,
        contract_id -> Uuid,
        title -> Text,
        job_id -> Uuid,
        crew_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    terms (outfit_id, terms_id) {
        outfit_id -> Uuid,
        terms_id -> Uuid,
        contract_id -> Uuid,
        effective_from -> Date,
        revision -> Int4,
        practice -> Jsonb,
        rates -> Jsonb,
        filed_at -> Timestamptz,
        filed_by -> Text,
        holdback -> Nullable<Jsonb>,
        check_tolerance -> Nullable<Jsonb>,
    }
}

diesel::table! {
    wage_terms (outfit_id, wage_terms_id) {
        outfit_id -> Uuid,
        wage_terms_id -> Uuid,
        effective_from -> Date,
        revision -> Int4,
        terms -> Jsonb,
        filed_at -> Timestamptz,
        filed_by -> Text,
    }
}
