//! Whose books these are, who works, and how crews share.

diesel::table! {
    outfit (outfit_id) {
        outfit_id -> Uuid,
        name -> Text,
        currency -> Text,
        time_zone -> Text,
        week_ends_on -> Int2,
        made_at -> Timestamptz,
        made_by -> Text,
        cut_off_hours -> Int2,
    }
}

diesel::table! {
    worker (outfit_id, worker_id) {
        outfit_id -> Uuid,
        worker_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    crew (outfit_id, crew_id) {
        outfit_id -> Uuid,
        crew_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    share_set (outfit_id, share_set_id) {
        outfit_id -> Uuid,
        share_set_id -> Uuid,
        crew_id -> Uuid,
        effective_from -> Date,
        revision -> Int4,
        made_at -> Timestamptz,
        made_by -> Text,
        method -> Text,
    }
}

diesel::table! {
    share (outfit_id, share_set_id, position) {
        outfit_id -> Uuid,
        share_set_id -> Uuid,
        position -> Int2,
        worker_id -> Uuid,
        parts_millionths -> Int8,
    }
}

diesel::table! {
    time_entry (outfit_id, time_entry_id) {
        outfit_id -> Uuid,
        time_entry_id -> Uuid,
        worker_id -> Uuid,
        worked_on -> Date,
        hours -> Nullable<Int8>,
        what_for -> Text,
        job_id -> Nullable<Uuid>,
        crew_id -> Nullable<Uuid>,
        task -> Nullable<Text>,
        corrects -> Nullable<Uuid>,
        correction_reason -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
