//! Seals, their keys and their leaves.

diesel::table! {
    seal_key (outfit_id, seal_key_id) {
        outfit_id -> Uuid,
        seal_key_id -> Uuid,
        public_key -> Bytea,
        sealed_seed -> Bytea,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    seal (outfit_id, seal_id) {
        outfit_id -> Uuid,
        seal_id -> Uuid,
        tree_size -> Int8,
        root_hash -> Bytea,
        peaks -> Array<Bytea>,
        settlement_id -> Nullable<Uuid>,
        seal_key_id -> Uuid,
        signature -> Bytea,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    seal_leaf (outfit_id, position) {
        outfit_id -> Uuid,
        position -> Int8,
        ticket_id -> Nullable<Uuid>,
        settlement_id -> Nullable<Uuid>,
        form -> Int2,
        leaf_hash -> Bytea,
    }
}
