//! The tables as diesel sees them. A test compares every column with the migrated database.
#![expect(missing_docs, reason = "the macro's items are described by the migrations' comments")]

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
    landing (outfit_id, landing_id) {
        outfit_id -> Uuid,
        landing_id -> Uuid,
        job_id -> Uuid,
        name -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
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
    }
}

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
    journal_entry (outfit_id, journal_entry_id) {
        outfit_id -> Uuid,
        journal_entry_id -> Uuid,
        dated -> Date,
        says -> Text,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    journal_posting (outfit_id, journal_entry_id, position) {
        outfit_id -> Uuid,
        journal_entry_id -> Uuid,
        position -> Int2,
        account -> Text,
        task -> Nullable<Text>,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        amount_minor -> Int8,
        detail -> Nullable<Text>,
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

diesel::table! {
    charge (outfit_id, charge_id) {
        outfit_id -> Uuid,
        charge_id -> Uuid,
        worker_id -> Uuid,
        dated -> Date,
        kind -> Text,
        says -> Text,
        amount_minor -> Int8,
        most_a_week_minor -> Int8,
        cuts_into_minimum -> Bool,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    advance (outfit_id, advance_id) {
        outfit_id -> Uuid,
        advance_id -> Uuid,
        worker_id -> Uuid,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        recovery -> Jsonb,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    payment (outfit_id, payment_id) {
        outfit_id -> Uuid,
        payment_id -> Uuid,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    holdback_release (outfit_id, release_id) {
        outfit_id -> Uuid,
        release_id -> Uuid,
        worker_id -> Uuid,
        contract_id -> Uuid,
        dated -> Date,
        says -> Text,
        amount_minor -> Int8,
        journal_entry_id -> Uuid,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    reversal (outfit_id, reversal_id) {
        outfit_id -> Uuid,
        reversal_id -> Uuid,
        charge_id -> Nullable<Uuid>,
        advance_id -> Nullable<Uuid>,
        payment_id -> Nullable<Uuid>,
        release_id -> Nullable<Uuid>,
        reason -> Text,
        journal_entry_id -> Nullable<Uuid>,
        made_at -> Timestamptz,
        made_by -> Text,
    }
}

diesel::table! {
    settlement_supplement (outfit_id, settlement_id, worker_id, week_ends_on, supplement) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Uuid,
        week_ends_on -> Date,
        supplement -> Text,
        amount_minor -> Int8,
    }
}

diesel::table! {
    settlement_take_off (outfit_id, settlement_id, worker_id, position) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Uuid,
        position -> Int2,
        contract_id -> Nullable<Uuid>,
        advance_id -> Nullable<Uuid>,
        charge_id -> Nullable<Uuid>,
        due_minor -> Int8,
        taken_minor -> Int8,
    }
}

diesel::table! {
    settlement (outfit_id, settlement_id) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        week_ends_on -> Date,
        lines -> Jsonb,
        fingerprint -> Bytea,
        drafted_at -> Timestamptz,
        drafted_by -> Text,
        pays -> Jsonb,
        volumes -> Jsonb,
    }
}

diesel::table! {
    settlement_posting (outfit_id, settlement_id) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        week_ends_on -> Date,
        journal_entry_id -> Nullable<Uuid>,
        posted_at -> Timestamptz,
        posted_by -> Text,
    }
}

diesel::table! {
    settlement_line (outfit_id, settlement_id, line_number) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        line_number -> Int4,
        week_ends_on -> Date,
        contract_id -> Uuid,
        terms_id -> Uuid,
        rate_number -> Int2,
        crew_id -> Nullable<Uuid>,
        share_set_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        quantity -> Int8,
        pieces -> Int8,
        amount_minor -> Int8,
        entered -> Array<Uuid>,
        withdrawn -> Array<Uuid>,
        worker_id -> Nullable<Uuid>,
    }
}

diesel::table! {
    settlement_share (outfit_id, settlement_id, line_number, position) {
        outfit_id -> Uuid,
        settlement_id -> Uuid,
        line_number -> Int4,
        position -> Int2,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        amount_minor -> Int8,
    }
}

diesel::table! {
    statement (outfit_id, statement_id) {
        outfit_id -> Uuid,
        statement_id -> Uuid,
        settlement_id -> Uuid,
        worker_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        opening_minor -> Int8,
        earned_minor -> Int8,
        closing_minor -> Int8,
        added_minor -> Int8,
        kept_back_minor -> Int8,
        moved_minor -> Int8,
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

diesel::allow_tables_to_appear_in_same_query!(
    outfit,
    worker,
    crew,
    share_set,
    share,
    mill,
    job,
    landing,
    log_table,
    contract,
    terms,
    ticket,
    derivation,
    accrual,
    unpriced,
    set_aside,
    journal_entry,
    journal_posting,
    settlement,
    settlement_posting,
    settlement_line,
    settlement_share,
    statement,
    wage_terms,
    audit_entry,
    stored_reply,
    event_subscription,
    signing_secret,
    event_subscription_end,
    delivery_attempt,
    delivery,
    delivery_replay,
    charge,
    advance,
    payment,
    holdback_release,
    reversal,
    settlement_supplement,
    settlement_take_off,
    time_entry,
    standing_time,
    account,
    account_enrolment,
    account_password,
    account_closure,
    access_grant,
    access_revocation,
    refresh_token,
    sign_in_attempt,
    sign_in_success
);

// Views: diesel reads them like tables.

diesel::table! {
    standing_time (outfit_id, time_entry_id) {
        outfit_id -> Uuid,
        time_entry_id -> Uuid,
        worker_id -> Uuid,
        worked_on -> Date,
        hours -> Nullable<Int8>,
        what_for -> Text,
    }
}

diesel::table! {
    standing_derivation (outfit_id, derivation_id) {
        outfit_id -> Uuid,
        derivation_id -> Uuid,
        ticket_id -> Uuid,
        contract_id -> Uuid,
        terms_id -> Uuid,
    }
}

diesel::table! {
    open_unpriced (outfit_id, unpriced_id) {
        outfit_id -> Uuid,
        unpriced_id -> Uuid,
        ticket_id -> Uuid,
        task -> Text,
        piece_number -> Nullable<Int2>,
        crew_id -> Nullable<Uuid>,
        mill_id -> Nullable<Uuid>,
        reason -> Jsonb,
        scaled_on -> Date,
        book -> Text,
        number -> Int8,
    }
}
