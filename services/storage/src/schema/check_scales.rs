//! Check scales, and the adjustments of volume that follow them.

diesel::table! {
    check_scale (outfit_id, check_scale_id) {
        outfit_id -> Uuid,
        check_scale_id -> Uuid,
        contract_id -> Uuid,
        from_day -> Date,
        to_day -> Date,
        lot_scaler -> Nullable<Text>,
        scaler -> Nullable<Text>,
        checked_on -> Date,
        checker -> Text,
        notice -> Text,
        pieces -> Jsonb,
        remarks -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    volume_adjustment (outfit_id, volume_adjustment_id) {
        outfit_id -> Uuid,
        volume_adjustment_id -> Uuid,
        check_scale_id -> Uuid,
        reason -> Text,
        although -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    volume_adjustment_quantity (outfit_id, volume_adjustment_id, scaled_on, terms_id, rate_number) {
        outfit_id -> Uuid,
        volume_adjustment_id -> Uuid,
        scaled_on -> Date,
        terms_id -> Uuid,
        rate_number -> Int2,
        held -> Int8,
        ratio -> Text,
        quantity -> Int8,
    }
}

diesel::table! {
    volume_adjustment_reversal (outfit_id, volume_adjustment_id) {
        outfit_id -> Uuid,
        volume_adjustment_id -> Uuid,
        reversal_id -> Uuid,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}
