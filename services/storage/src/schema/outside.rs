//! What the scale is held against from outside: mill tallies and cruises, and what took them back.

diesel::table! {
    mill_tally (outfit_id, mill_tally_id) {
        outfit_id -> Uuid,
        mill_tally_id -> Uuid,
        mill_id -> Uuid,
        job_id -> Nullable<Uuid>,
        first_day -> Date,
        last_day -> Date,
        species -> Array<Nullable<Text>>,
        board_feet -> Array<Int8>,
        lumber_state -> Text,
        tallied_by -> Text,
        remarks -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    mill_tally_withdrawal (outfit_id, mill_tally_id) {
        outfit_id -> Uuid,
        mill_tally_id -> Uuid,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    cruise (outfit_id, cruise_id) {
        outfit_id -> Uuid,
        cruise_id -> Uuid,
        job_id -> Uuid,
        cruised_on -> Date,
        cruiser -> Text,
        measured -> Jsonb,
        remarks -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    cruise_withdrawal (outfit_id, cruise_id) {
        outfit_id -> Uuid,
        cruise_id -> Uuid,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
