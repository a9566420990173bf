//! Subscriptions to events, and their deliveries.

diesel::table! {
    event_subscription (outfit_id, subscription_id) {
        outfit_id -> Uuid,
        subscription_id -> Uuid,
        url -> Text,
        kinds -> Array<Text>,
        says -> Text,
        made_in -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    signing_secret (outfit_id, secret_id) {
        outfit_id -> Uuid,
        secret_id -> Uuid,
        subscription_id -> Uuid,
        sealed -> Bytea,
        overlap_hours -> Int2,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    event_subscription_end (outfit_id, subscription_id) {
        outfit_id -> Uuid,
        subscription_id -> Uuid,
        reason -> Text,
        ended_at -> Timestamptz,
        ended_by -> Text,
    }
}

diesel::table! {
    delivery_attempt (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round, number) {
        outfit_id -> Uuid,
        subscription_id -> Uuid,
        transaction_id -> Int8,
        audit_entry_id -> Uuid,
        part -> Int4,
        round -> Int2,
        number -> Int2,
        event_id -> Uuid,
        kind -> Text,
        happened_at -> Timestamptz,
        began_at -> Timestamptz,
        outcome -> Text,
        status -> Nullable<Int2>,
        milliseconds -> Int4,
        not_before -> Nullable<Timestamptz>,
    }
}

diesel::table! {
    delivery (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round) {
        outfit_id -> Uuid,
        subscription_id -> Uuid,
        transaction_id -> Int8,
        audit_entry_id -> Uuid,
        part -> Int4,
        round -> Int2,
        event_id -> Uuid,
        kind -> Text,
        happened_at -> Timestamptz,
        closes_entry -> Bool,
        delivered -> Bool,
        settled_at -> Timestamptz,
    }
}

diesel::table! {
    delivery_replay (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round) {
        outfit_id -> Uuid,
        subscription_id -> Uuid,
        transaction_id -> Int8,
        audit_entry_id -> Uuid,
        part -> Int4,
        round -> Int2,
        given_up_round -> Int2,
        asked_at -> Timestamptz,
        asked_by -> Text,
    }
}
