-- What came into weeks that were posted already. A settlement states again the weeks that were never posted, and of the
-- posted ones only those that are named here. The database itself writes down whatever can change what a posted week
-- comes to, so no operation can forget to.
CREATE TABLE late_change (
    outfit_id uuid NOT NULL,
    -- The latest posting at that moment. As soon as a later one is there, the change is settled in it. Whoever posts holds
    -- the outfit's lock alone and whoever changes anything shares it, so this is exact where clocks and ids are not.
    settlement_id uuid NOT NULL,
    -- The days whose pay may be another now.
    from_day date NOT NULL,
    to_day date NOT NULL,
    -- What it came with: a ticket, terms, a share set, wage terms, hours, an adjustment or its reversal, a settlement.
    record_id uuid NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id, from_day, to_day, record_id),
    CHECK (from_day <= to_day),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting
);
CALL guard_records('late_change');

-- Writes down that the days between two may be paid otherwise now, as far as their weeks were posted.
CREATE FUNCTION note_late_change(changed_outfit uuid, first_day date, last_day date, changed_by uuid) RETURNS void
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
    latest settlement_posting;
BEGIN
    -- Every operation holds this lock already; one that did not would have to wait here until no week is being posted.
    PERFORM pg_advisory_xact_lock_shared(hashtextextended(changed_outfit::text, 0));
    SELECT * INTO latest FROM settlement_posting
    WHERE outfit_id = changed_outfit ORDER BY week_ends_on DESC LIMIT 1;
    INSERT INTO late_change (outfit_id, settlement_id, from_day, to_day, record_id)
    SELECT changed_outfit, latest.settlement_id, first_day, least(last_day, latest.week_ends_on), changed_by
    WHERE first_day <= latest.week_ends_on
      -- A thousand late tickets of one day need one row.
      AND NOT EXISTS (SELECT FROM late_change AS noted
                      WHERE noted.outfit_id = changed_outfit AND noted.settlement_id = latest.settlement_id
                        AND noted.from_day <= first_day AND noted.to_day >= least(last_day, latest.week_ends_on));
END
$$;

-- A ticket changes its own day; one that corrects another, the other's too.
CREATE FUNCTION note_late_ticket() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    PERFORM note_late_change(NEW.outfit_id, day, day, NEW.ticket_id)
    FROM (SELECT NEW.scaled_on AS day
          UNION SELECT scaled_on FROM ticket
          WHERE ticket.outfit_id = NEW.outfit_id AND ticket.ticket_id = NEW.corrects) AS changed;
    RETURN NULL;
END
$$;
-- Tickets that come in time are not asked about: they must not pay for this.
CREATE TRIGGER late_ticket_is_noted AFTER INSERT ON ticket
    FOR EACH ROW WHEN (NEW.late_for IS NOT NULL OR NEW.corrects IS NOT NULL) EXECUTE FUNCTION note_late_ticket();

-- Terms, shares and wage terms change every day from theirs on. What terms make of tickets again is among it.
CREATE FUNCTION note_from_day_on() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    PERFORM note_late_change(NEW.outfit_id, NEW.effective_from, 'infinity', (to_jsonb(NEW) ->> TG_ARGV[0])::uuid);
    RETURN NULL;
END
$$;
CREATE TRIGGER late_terms_are_noted AFTER INSERT ON terms
    FOR EACH ROW EXECUTE FUNCTION note_from_day_on('terms_id');
CREATE TRIGGER late_shares_are_noted AFTER INSERT ON share_set
    FOR EACH ROW EXECUTE FUNCTION note_from_day_on('share_set_id');
CREATE TRIGGER late_wage_terms_are_noted AFTER INSERT ON wage_terms
    FOR EACH ROW EXECUTE FUNCTION note_from_day_on('wage_terms_id');

-- Hours likewise change their day, and that of the entry they correct.
CREATE FUNCTION note_late_time() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    PERFORM note_late_change(NEW.outfit_id, day, day, NEW.time_entry_id)
    FROM (SELECT NEW.worked_on AS day
          UNION SELECT worked_on FROM time_entry
          WHERE time_entry.outfit_id = NEW.outfit_id AND time_entry.time_entry_id = NEW.corrects) AS changed;
    RETURN NULL;
END
$$;
CREATE TRIGGER late_time_is_noted AFTER INSERT ON time_entry
    FOR EACH ROW EXECUTE FUNCTION note_late_time();

-- An adjustment changes the days that it has quantities of; so does taking it back.
CREATE FUNCTION note_late_adjustment() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    PERFORM note_late_change(NEW.outfit_id, changed.scaled_on, changed.scaled_on, NEW.volume_adjustment_id)
    FROM volume_adjustment_quantity AS changed
    WHERE changed.outfit_id = NEW.outfit_id AND changed.volume_adjustment_id = NEW.volume_adjustment_id;
    RETURN NULL;
END
$$;
CREATE TRIGGER late_adjustment_is_noted AFTER INSERT ON volume_adjustment_quantity
    FOR EACH ROW EXECUTE FUNCTION note_late_adjustment();
CREATE TRIGGER late_reversal_is_noted AFTER INSERT ON volume_adjustment_reversal
    FOR EACH ROW EXECUTE FUNCTION note_late_adjustment();

-- Nobody wrote down what had come late into the books that are there: all of it is stated again, once. Whoever migrates
-- sees the rows of every outfit meanwhile.
ALTER TABLE settlement_posting NO FORCE ROW LEVEL SECURITY;
ALTER TABLE late_change NO FORCE ROW LEVEL SECURITY;
INSERT INTO late_change (outfit_id, settlement_id, from_day, to_day, record_id)
SELECT DISTINCT ON (outfit_id) outfit_id, settlement_id, '0001-01-01', week_ends_on, settlement_id
FROM settlement_posting
ORDER BY outfit_id, week_ends_on DESC;
ALTER TABLE late_change FORCE ROW LEVEL SECURITY;
ALTER TABLE settlement_posting FORCE ROW LEVEL SECURITY;
