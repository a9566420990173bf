-- Who may get at an outfit's books: accounts with passwords, grants of access, and that either does not stand any more.
CREATE TABLE account (
    outfit_id uuid NOT NULL REFERENCES outfit,
    account_id uuid NOT NULL,
    -- What its owner signs in with; stands on every record made with it.
    name text NOT NULL CHECK (name <> ''),
    -- Who it is, in words.
    says text,
    role text NOT NULL CHECK (role IN ('scaler', 'bookkeeper', 'contractor', 'mill', 'manager')),
    mill_id uuid,
    -- By whom else its owner is known: an OpenID Connect issuer, and its name for him.
    external_issuer text,
    external_subject text,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, account_id),
    UNIQUE (outfit_id, name),
    CONSTRAINT account_external_name_key UNIQUE (outfit_id, external_issuer, external_subject),
    CHECK ((role = 'mill') = (mill_id IS NOT NULL)),
    CHECK ((external_issuer IS NULL) = (external_subject IS NULL)),
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX account_mill ON account (outfit_id, mill_id);
CALL guard_records('account');

-- Leave to set a password once. Only the newest of an account is good.
CREATE TABLE account_enrolment (
    outfit_id uuid NOT NULL,
    enrolment_id uuid NOT NULL,
    account_id uuid NOT NULL,
    -- SHA-256 of a code that is random and kept nowhere.
    code_hash bytea NOT NULL CHECK (octet_length(code_hash) = 32),
    reason text NOT NULL CHECK (reason <> ''),
    expires_at timestamptz NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, enrolment_id),
    FOREIGN KEY (outfit_id, account_id) REFERENCES account
);
CREATE INDEX account_enrolment_account ON account_enrolment (outfit_id, account_id, enrolment_id);
CALL guard_records('account_enrolment');

-- A password, as Argon2id leaves it. Only the newest of an account is good.
CREATE TABLE account_password (
    outfit_id uuid NOT NULL,
    password_id uuid NOT NULL,
    account_id uuid NOT NULL,
    enrolment_id uuid NOT NULL,
    phc text NOT NULL CHECK (phc LIKE '$argon2id$%'),
    made_at timestamptz NOT NULL,
    PRIMARY KEY (outfit_id, password_id),
    -- A code sets one password.
    UNIQUE (outfit_id, enrolment_id),
    FOREIGN KEY (outfit_id, account_id) REFERENCES account,
    FOREIGN KEY (outfit_id, enrolment_id) REFERENCES account_enrolment
);
CREATE INDEX account_password_account ON account_password (outfit_id, account_id, password_id);
CALL guard_records('account_password');

CREATE TABLE account_closure (
    outfit_id uuid NOT NULL,
    account_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, account_id),
    FOREIGN KEY (outfit_id, account_id) REFERENCES account
);
CALL guard_records('account_closure');

-- Access that was granted: by signing in, as a token that a manager handed out, or as a key for a machine.
CREATE TABLE access_grant (
    outfit_id uuid NOT NULL REFERENCES outfit,
    grant_id uuid NOT NULL,
    kind text NOT NULL CHECK (kind IN ('sign_in', 'token', 'machine_key')),
    account_id uuid,
    subject text NOT NULL CHECK (subject <> ''),
    role text NOT NULL CHECK (role IN ('scaler', 'bookkeeper', 'contractor', 'mill', 'manager')),
    mill_id uuid,
    -- What a machine may do within its role.
    scopes text[],
    -- SHA-256 of a machine's secret, which is random and kept nowhere, and how it ends.
    secret_hash bytea CHECK (octet_length(secret_hash) = 32),
    last_four text CHECK (char_length(last_four) = 4),
    expires_at timestamptz NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, grant_id),
    UNIQUE (outfit_id, secret_hash),
    CHECK ((role = 'mill') = (mill_id IS NOT NULL)),
    CHECK ((kind = 'sign_in') = (account_id IS NOT NULL)),
    CHECK (num_nonnulls(scopes, secret_hash, last_four) = CASE kind WHEN 'machine_key' THEN 3 ELSE 0 END),
    FOREIGN KEY (outfit_id, account_id) REFERENCES account,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX access_grant_account ON access_grant (outfit_id, account_id);
CREATE INDEX access_grant_mill ON access_grant (outfit_id, mill_id);
CALL guard_records('access_grant');

CREATE TABLE access_revocation (
    outfit_id uuid NOT NULL,
    grant_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, grant_id),
    FOREIGN KEY (outfit_id, grant_id) REFERENCES access_grant
);
CALL guard_records('access_revocation');

-- What keeps somebody signed in: each is good once, and the next one follows it.
CREATE TABLE refresh_token (
    outfit_id uuid NOT NULL,
    refresh_token_id uuid NOT NULL,
    grant_id uuid NOT NULL,
    -- SHA-256 of the token, which is kept nowhere.
    token_hash bytea NOT NULL CHECK (octet_length(token_hash) = 32),
    follows uuid,
    expires_at timestamptz NOT NULL,
    made_at timestamptz NOT NULL,
    PRIMARY KEY (outfit_id, refresh_token_id),
    UNIQUE (outfit_id, token_hash),
    UNIQUE (outfit_id, follows),
    CHECK (follows <> refresh_token_id),
    FOREIGN KEY (outfit_id, grant_id) REFERENCES access_grant,
    FOREIGN KEY (outfit_id, follows) REFERENCES refresh_token
);
CREATE INDEX refresh_token_grant ON refresh_token (outfit_id, grant_id);
CALL guard_records('refresh_token');

-- That somebody tried to sign in. Written down before the password is looked at, so that tries at the same moment
-- count each; it has failed until the other table says that it has not.
CREATE TABLE sign_in_attempt (
    outfit_id uuid NOT NULL REFERENCES outfit,
    attempt_id uuid NOT NULL,
    -- SHA-256 of the name: people type passwords where the name belongs.
    name_hash bytea NOT NULL CHECK (octet_length(name_hash) = 32),
    made_at timestamptz NOT NULL,
    PRIMARY KEY (outfit_id, attempt_id)
);
CREATE INDEX sign_in_attempt_name ON sign_in_attempt (outfit_id, name_hash, attempt_id);
CALL guard_records('sign_in_attempt');

CREATE TABLE sign_in_success (
    outfit_id uuid NOT NULL,
    attempt_id uuid NOT NULL,
    grant_id uuid NOT NULL,
    PRIMARY KEY (outfit_id, attempt_id),
    FOREIGN KEY (outfit_id, attempt_id) REFERENCES sign_in_attempt,
    FOREIGN KEY (outfit_id, grant_id) REFERENCES access_grant
);
CREATE INDEX sign_in_success_grant ON sign_in_success (outfit_id, grant_id);
CALL guard_records('sign_in_success');

-- Refuses the transaction when its grant of access does not stand: it was revoked, its account is closed, or the
-- outfit never made it.
CREATE FUNCTION access_must_stand(asked uuid) RETURNS void
    LANGUAGE plpgsql STABLE AS $$
BEGIN
    PERFORM FROM access_grant
    WHERE outfit_id = current_outfit() AND grant_id = asked
      AND NOT EXISTS (SELECT FROM access_revocation AS revoked
                      WHERE revoked.outfit_id = access_grant.outfit_id AND revoked.grant_id = access_grant.grant_id)
      AND NOT EXISTS (SELECT FROM account_closure AS closed
                      WHERE closed.outfit_id = access_grant.outfit_id AND closed.account_id = access_grant.account_id);
    IF NOT FOUND THEN
        RAISE EXCEPTION 'the grant of access does not stand'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'access_must_stand';
    END IF;
END
$$;
