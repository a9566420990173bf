-- The business that owns the books. Every other table leads its keys with the outfit.
CREATE TABLE outfit (
    outfit_id uuid PRIMARY KEY,
    name text NOT NULL CHECK (name <> ''),
    currency text NOT NULL CHECK (currency ~ '^[A-Z]{3}$'),
    time_zone text NOT NULL,
    -- ISO 8601: Monday is 1, Sunday is 7.
    week_ends_on smallint NOT NULL CHECK (week_ends_on BETWEEN 1 AND 7),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL
);
CALL guard_records('outfit');
