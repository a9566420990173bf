//! Who changed what, and what was answered.

diesel::table! {
    audit_entry (outfit_id, audit_entry_id) {
        outfit_id -> Uuid,
        audit_entry_id -> Uuid,
        transaction_id -> Int8,
        made_at -> Timestamptz,
        made_by -> Text,
        role -> Text,
        operation -> Text,
        about -> Uuid,
        request_id -> Nullable<Uuid>,
    }
}

diesel::table! {
    stored_reply (outfit_id, made_by, operation, idempotency_key) {
        outfit_id -> Uuid,
        made_by -> Text,
        operation -> Text,
        idempotency_key -> Text,
        fingerprint -> Bytea,
        reply -> Nullable<Text>,
        audit_entry_id -> Uuid,
    }
}
