//! Accounts, and who was let in.

diesel::table! {
    account (outfit_id, account_id) {
        outfit_id -> Uuid,
        account_id -> Uuid,
        name -> Text,
        says -> Nullable<Text>,
        role -> Text,
        mill_id -> Nullable<Uuid>,
        external_issuer -> Nullable<Text>,
        external_subject -> Nullable<Text>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    account_enrolment (outfit_id, enrolment_id) {
        outfit_id -> Uuid,
        enrolment_id -> Uuid,
        account_id -> Uuid,
        code_hash -> Bytea,
        reason -> Text,
        expires_at -> Timestamptz,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    account_password (outfit_id, password_id) {
        outfit_id -> Uuid,
        password_id -> Uuid,
        account_id -> Uuid,
        enrolment_id -> Uuid,
        phc -> Text,
        made_at -> Timestamptz,
    }
}

diesel::table! {
    account_closure (outfit_id, account_id) {
        outfit_id -> Uuid,
        account_id -> Uuid,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    access_grant (outfit_id, grant_id) {
        outfit_id -> Uuid,
        grant_id -> Uuid,
        kind -> Text,
        account_id -> Nullable<Uuid>,
        subject -> Text,
        role -> Text,
        mill_id -> Nullable<Uuid>,
        scopes -> Nullable<Array<Text>>,
        secret_hash -> Nullable<Bytea>,
        last_four -> Nullable<Text>,
        expires_at -> Timestamptz,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    access_revocation (outfit_id, grant_id) {
        outfit_id -> Uuid,
        grant_id -> Uuid,
        reason -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    refresh_token (outfit_id, refresh_token_id) {
        outfit_id -> Uuid,
        refresh_token_id -> Uuid,
        grant_id -> Uuid,
        token_hash -> Bytea,
        follows -> Nullable<Uuid>,
        expires_at -> Timestamptz,
        made_at -> Timestamptz,
    }
}

diesel::table! {
    sign_in_attempt (outfit_id, attempt_id) {
        outfit_id -> Uuid,
        attempt_id -> Uuid,
        name_hash -> Bytea,
        made_at -> Timestamptz,
    }
}

diesel::table! {
    sign_in_success (outfit_id, attempt_id) {
        outfit_id -> Uuid,
        attempt_id -> Uuid,
        grant_id -> Uuid,
    }
}
