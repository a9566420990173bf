//! Jobs, landings and mills.

diesel::table! {
    mill (outfit_id, mill_id) {
        outfit_id -> Uuid,
        mill_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    job (outfit_id, job_id) {
        outfit_id -> Uuid,
        job_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    landing (outfit_id, landing_id) {
        outfit_id -> Uuid,
        landing_id -> Uuid,
        job_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
