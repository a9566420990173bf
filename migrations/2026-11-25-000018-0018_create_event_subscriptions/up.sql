-- Which tools are told of what happens in the books, what was sent to them, and what came of it. What there is to tell
-- stands in audit_entry; nothing of it is copied here before it is sent.

CREATE TABLE event_subscription (
    outfit_id uuid NOT NULL REFERENCES outfit,
    subscription_id uuid NOT NULL,
    url text NOT NULL CHECK (url ~ '^https?://'),
    kinds text[] NOT NULL CHECK (
        cardinality(kinds) > 0
        AND kinds <@ ARRAY['ticket.accepted', 'ticket.corrected', 'week.posted', 'statement.ready']),
    says text NOT NULL CHECK (says <> ''),
    -- The transactions that were over when it was made (a pg_snapshot): what they did is not told.
    made_in text NOT NULL CHECK (made_in ~ '^[0-9]+:[0-9]+:[0-9,]*$'),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, subscription_id)
);
CALL guard_records('event_subscription');

-- What deliveries are signed with. Sealed: the key lies with the service, not here.
CREATE TABLE signing_secret (
    outfit_id uuid NOT NULL,
    secret_id uuid NOT NULL,
    subscription_id uuid NOT NULL,
    sealed bytea NOT NULL CHECK (octet_length(sealed) > 29),
    -- For how long the secret before it goes on signing.
    overlap_hours smallint NOT NULL CHECK (overlap_hours BETWEEN 0 AND 168),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, secret_id),
    FOREIGN KEY (outfit_id, subscription_id) REFERENCES event_subscription
);
CREATE INDEX signing_secret_subscription ON signing_secret (outfit_id, subscription_id, secret_id);
CALL guard_records('signing_secret');

CREATE TABLE event_subscription_end (
    outfit_id uuid NOT NULL,
    subscription_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    ended_at timestamptz NOT NULL,
    ended_by text NOT NULL,
    PRIMARY KEY (outfit_id, subscription_id),
    FOREIGN KEY (outfit_id, subscription_id) REFERENCES event_subscription
);
CALL guard_records('event_subscription_end');

-- An event's place: the entry it tells of, and which of the entry's events it is. Everything below is keyed by it.

-- One sending. Round 0 is the event's own turn; every replay of a dead letter is a round more.
CREATE TABLE delivery_attempt (
    outfit_id uuid NOT NULL,
    subscription_id uuid NOT NULL,
    transaction_id bigint NOT NULL,
    audit_entry_id uuid NOT NULL,
    part integer NOT NULL CHECK (part >= 0),
    round smallint NOT NULL CHECK (round >= 0),
    number smallint NOT NULL CHECK (number > 0),
    event_id uuid NOT NULL,
    kind text NOT NULL,
    happened_at timestamptz NOT NULL,
    began_at timestamptz NOT NULL,
    outcome text NOT NULL CHECK (outcome IN (
        'delivered', 'refused', 'redirected', 'gone', 'throttled', 'not_reached', 'no_answer', 'target_refused',
        'not_signed')),
    status smallint CHECK (status BETWEEN 100 AND 999),
    milliseconds integer NOT NULL CHECK (milliseconds >= 0),
    -- It is not sent again before this; none where it is not sent again in this round.
    not_before timestamptz,
    PRIMARY KEY (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round, number),
    CHECK (outcome <> 'delivered' OR not_before IS NULL),
    FOREIGN KEY (outfit_id, subscription_id) REFERENCES event_subscription,
    FOREIGN KEY (outfit_id, audit_entry_id) REFERENCES audit_entry
);
CREATE INDEX delivery_attempt_entry ON delivery_attempt (outfit_id, audit_entry_id);
CALL guard_records('delivery_attempt');

-- That an event was delivered in a round, or given up. The newest one by place is how far a subscription has come: what
-- is next lies behind it, however much lies before.
CREATE TABLE delivery (
    outfit_id uuid NOT NULL,
    subscription_id uuid NOT NULL,
    transaction_id bigint NOT NULL,
    audit_entry_id uuid NOT NULL,
    part integer NOT NULL CHECK (part >= 0),
    round smallint NOT NULL CHECK (round >= 0),
    event_id uuid NOT NULL,
    kind text NOT NULL,
    happened_at timestamptz NOT NULL,
    -- Whether the entry has no event behind this one for the subscription.
    closes_entry boolean NOT NULL,
    delivered boolean NOT NULL,
    settled_at timestamptz NOT NULL,
    PRIMARY KEY (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round),
    FOREIGN KEY (outfit_id, subscription_id) REFERENCES event_subscription,
    FOREIGN KEY (outfit_id, audit_entry_id) REFERENCES audit_entry
);
CREATE INDEX delivery_entry ON delivery (outfit_id, audit_entry_id);
CREATE INDEX delivery_dead ON delivery (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round)
    WHERE NOT delivered;
CALL guard_records('delivery');

-- That a dead letter is to be sent again.
CREATE TABLE delivery_replay (
    outfit_id uuid NOT NULL,
    subscription_id uuid NOT NULL,
    transaction_id bigint NOT NULL,
    audit_entry_id uuid NOT NULL,
    part integer NOT NULL,
    round smallint NOT NULL CHECK (round > 0),
    -- The round before it, which was given up.
    given_up_round smallint NOT NULL CHECK (given_up_round = round - 1),
    asked_at timestamptz NOT NULL,
    asked_by text NOT NULL,
    PRIMARY KEY (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round),
    FOREIGN KEY (outfit_id, subscription_id, transaction_id, audit_entry_id, part, given_up_round) REFERENCES delivery
);
CREATE INDEX delivery_replay_given_up ON delivery_replay
    (outfit_id, subscription_id, transaction_id, audit_entry_id, part, given_up_round);
CALL guard_records('delivery_replay');

-- Entries of one operation in their order: a tool that waits for the week to be posted does not read every ticket.
CREATE INDEX audit_entry_operation ON audit_entry (outfit_id, operation, transaction_id, audit_entry_id);

-- The operations that each kind of event tells of.
CREATE FUNCTION operations_told(kinds text[]) RETURNS text[]
    LANGUAGE sql IMMUTABLE PARALLEL SAFE
    RETURN (SELECT array_agg(DISTINCT told.operation)
            FROM (VALUES ('ticket.accepted', 'post_ticket'),
                         ('ticket.accepted', 'post_tickets'),
                         ('ticket.accepted', 'post_ticket_sheet'),
                         ('ticket.corrected', 'correct_ticket'),
                         ('week.posted', 'post_settlement'),
                         ('statement.ready', 'post_settlement')) AS told (kind, operation)
            WHERE told.kind = ANY (kinds));

-- Below this every transaction is over, and none can come in late: what lies below it is told in its order.
CREATE FUNCTION transactions_over_below() RETURNS bigint
    LANGUAGE sql STABLE PARALLEL SAFE
    RETURN pg_snapshot_xmin(pg_current_snapshot())::text::bigint;

-- The subscriptions that last, with the place up to which each has been told. Where nothing was told yet that is the
-- place before everything, and what was over when the subscription was made is left out by made_in.
CREATE VIEW subscription_told WITH (security_invoker = true) AS
SELECT event_subscription.outfit_id, event_subscription.subscription_id, event_subscription.kinds,
       event_subscription.made_in,
       coalesce(mark.transaction_id,
                pg_snapshot_xmin(event_subscription.made_in::pg_snapshot)::text::bigint - 1) AS transaction_id,
       coalesce(mark.audit_entry_id, 'ffffffff-ffff-ffff-ffff-ffffffffffff'::uuid) AS audit_entry_id,
       coalesce(mark.part, 0) AS part,
       coalesce(mark.closes_entry, true) AS closes_entry
FROM event_subscription
LEFT JOIN LATERAL (
    SELECT delivery.transaction_id, delivery.audit_entry_id, delivery.part, delivery.closes_entry
    FROM delivery
    WHERE delivery.outfit_id = event_subscription.outfit_id
      AND delivery.subscription_id = event_subscription.subscription_id
    ORDER BY delivery.transaction_id DESC, delivery.audit_entry_id DESC, delivery.part DESC, delivery.round DESC
    LIMIT 1) AS mark ON true
WHERE NOT EXISTS (SELECT FROM event_subscription_end AS ended
                  WHERE ended.outfit_id = event_subscription.outfit_id
                    AND ended.subscription_id = event_subscription.subscription_id);
GRANT SELECT ON subscription_told TO skidway_service;

-- Whoever delivers must know whose books hold something to tell, and sees nobody's. So two functions look across
-- outfits for it, and answer with ids and numbers only. They run as a role that may read the columns they need, that
-- nobody can log in as, and that owns nothing else.
DO $$
BEGIN
    CREATE ROLE skidway_courier NOLOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOBYPASSRLS;
EXCEPTION
    WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;
DO $$
BEGIN
    IF NOT pg_has_role(current_user, 'skidway_courier',
                       CASE WHEN current_setting('server_version_num')::integer < 160000 THEN 'MEMBER' ELSE 'SET' END)
    THEN
        EXECUTE format('GRANT skidway_courier TO %I', current_user);
    END IF;
END
$$;
GRANT USAGE ON SCHEMA public TO skidway_courier;
GRANT SELECT ON subscription_told TO skidway_courier;
GRANT SELECT (outfit_id, subscription_id, kinds, made_in) ON event_subscription TO skidway_courier;
GRANT SELECT (outfit_id, subscription_id) ON event_subscription_end TO skidway_courier;
GRANT SELECT (outfit_id, audit_entry_id, transaction_id, operation, made_at) ON audit_entry TO skidway_courier;
GRANT SELECT (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round, closes_entry, delivered)
    ON delivery TO skidway_courier;
GRANT SELECT (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round)
    ON delivery_replay TO skidway_courier;
-- By name, since members of the role are not meant: whoever migrates is one.
CREATE POLICY courier ON event_subscription FOR SELECT TO skidway_courier
    USING (current_user = 'skidway_courier');
CREATE POLICY courier ON event_subscription_end FOR SELECT TO skidway_courier
    USING (current_user = 'skidway_courier');
CREATE POLICY courier ON audit_entry FOR SELECT TO skidway_courier
    USING (current_user = 'skidway_courier');
CREATE POLICY courier ON delivery FOR SELECT TO skidway_courier
    USING (current_user = 'skidway_courier');
CREATE POLICY courier ON delivery_replay FOR SELECT TO skidway_courier
    USING (current_user = 'skidway_courier');

-- The outfits that have something to tell.
CREATE FUNCTION outfits_to_tell() RETURNS SETOF uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
BEGIN ATOMIC
    SELECT DISTINCT told.outfit_id
    FROM subscription_told AS told
    WHERE NOT told.closes_entry
       OR EXISTS (SELECT FROM unnest(operations_told(told.kinds)) AS operation
                  CROSS JOIN LATERAL (
                      SELECT FROM audit_entry
                      WHERE audit_entry.outfit_id = told.outfit_id AND audit_entry.operation = operation.operation
                        AND (audit_entry.transaction_id, audit_entry.audit_entry_id)
                            > (told.transaction_id, told.audit_entry_id)
                        AND audit_entry.transaction_id < transactions_over_below()
                        AND NOT pg_visible_in_snapshot(audit_entry.transaction_id::text::xid8,
                                                       told.made_in::pg_snapshot)
                      LIMIT 1) AS behind)
       OR EXISTS (SELECT FROM delivery_replay AS replay
                  WHERE replay.outfit_id = told.outfit_id AND replay.subscription_id = told.subscription_id
                    AND NOT EXISTS (SELECT FROM delivery
                                    WHERE delivery.outfit_id = replay.outfit_id
                                      AND delivery.subscription_id = replay.subscription_id
                                      AND delivery.transaction_id = replay.transaction_id
                                      AND delivery.audit_entry_id = replay.audit_entry_id
                                      AND delivery.part = replay.part AND delivery.round = replay.round));
END;

-- How far behind deliveries are, over all outfits: entries that subscriptions have not been told of yet (counted up to
-- ten thousand for each subscription and operation), when the oldest of them was made, and dead letters that nobody has
-- had sent again.
CREATE FUNCTION delivery_lag(OUT waiting bigint, OUT oldest timestamptz, OUT dead bigint)
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
BEGIN ATOMIC
    SELECT (SELECT count(*) FROM subscription_told WHERE NOT closes_entry) + count(behind.made_at),
           least(min(behind.made_at),
                 (SELECT min(begun.made_at)
                  FROM subscription_told JOIN audit_entry AS begun USING (outfit_id, audit_entry_id)
                  WHERE NOT closes_entry)),
           (SELECT count(*)
            FROM subscription_told JOIN delivery USING (outfit_id, subscription_id)
            WHERE NOT delivery.delivered
              AND NOT EXISTS (SELECT FROM delivery_replay AS replay
                              WHERE replay.outfit_id = delivery.outfit_id
                                AND replay.subscription_id = delivery.subscription_id
                                AND replay.transaction_id = delivery.transaction_id
                                AND replay.audit_entry_id = delivery.audit_entry_id
                                AND replay.part = delivery.part AND replay.round > delivery.round))
    FROM subscription_told AS told
    CROSS JOIN LATERAL unnest(operations_told(told.kinds)) AS operation
    LEFT JOIN LATERAL (
        SELECT audit_entry.made_at FROM audit_entry
        WHERE audit_entry.outfit_id = told.outfit_id AND audit_entry.operation = operation.operation
          AND (audit_entry.transaction_id, audit_entry.audit_entry_id) > (told.transaction_id, told.audit_entry_id)
          AND NOT pg_visible_in_snapshot(audit_entry.transaction_id::text::xid8, told.made_in::pg_snapshot)
        ORDER BY audit_entry.transaction_id, audit_entry.audit_entry_id
        LIMIT 10000) AS behind ON true;
END;

GRANT CREATE ON SCHEMA public TO skidway_courier;
ALTER FUNCTION outfits_to_tell() OWNER TO skidway_courier;
ALTER FUNCTION delivery_lag() OWNER TO skidway_courier;
REVOKE CREATE ON SCHEMA public FROM skidway_courier;
REVOKE ALL ON FUNCTION outfits_to_tell() FROM PUBLIC;
REVOKE ALL ON FUNCTION delivery_lag() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION outfits_to_tell() TO skidway_service;
GRANT EXECUTE ON FUNCTION delivery_lag() TO skidway_service;
