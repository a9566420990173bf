-- Balanced double-entry books. Amounts are in the currency's smallest unit; a debit is positive, a credit negative.
CREATE TABLE journal_entry (
    outfit_id uuid NOT NULL REFERENCES outfit,
    journal_entry_id uuid NOT NULL,
    dated date NOT NULL,
    says text NOT NULL CHECK (says <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, journal_entry_id)
);
CALL guard_records('journal_entry');

CREATE TABLE journal_posting (
    outfit_id uuid NOT NULL,
    journal_entry_id uuid NOT NULL,
    position smallint NOT NULL CHECK (position > 0),
    account text NOT NULL CHECK (account IN ('work_expense', 'payable_to_worker', 'receivable_from_mill',
                                             'timber_income')),
    task text,
    worker_id uuid,
    mill_id uuid,
    amount_minor bigint NOT NULL CHECK (amount_minor <> 0),
    PRIMARY KEY (outfit_id, journal_entry_id, position),
    CHECK ((account = 'work_expense') = (task IS NOT NULL)),
    CHECK ((account = 'payable_to_worker') = (worker_id IS NOT NULL)),
    CHECK ((account = 'receivable_from_mill') = (mill_id IS NOT NULL)),
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX journal_posting_worker ON journal_posting (outfit_id, worker_id);
CREATE INDEX journal_posting_mill ON journal_posting (outfit_id, mill_id);
CALL guard_records('journal_posting');

-- At the end of the transaction every entry it touched must sum to zero. The check looks at the books of the entry's
-- own outfit, whichever outfit the transaction has set by then, and at the real tables, whatever temporary ones there
-- are.
CREATE FUNCTION refuse_unbalanced_entry() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
    outfit_before text := current_setting('skidway.outfit', true);
    difference numeric;
BEGIN
    PERFORM set_config('skidway.outfit', NEW.outfit_id::text, true);
    SELECT coalesce(sum(amount_minor), 0) INTO difference FROM journal_posting
    WHERE outfit_id = NEW.outfit_id AND journal_entry_id = NEW.journal_entry_id;
    PERFORM set_config('skidway.outfit', coalesce(outfit_before, ''), true);
    IF difference <> 0 THEN
        RAISE EXCEPTION 'journal entry % is out of balance by %', NEW.journal_entry_id, difference
            USING ERRCODE = 'check_violation';
    END IF;
    RETURN NULL;
END
$$;
CREATE CONSTRAINT TRIGGER entry_balances AFTER INSERT ON journal_posting
    DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION refuse_unbalanced_entry();
