DROP VIEW standing_accrual;
DROP VIEW fallen_derivation;
DROP INDEX accrual_under_none;
ALTER TABLE accrual
    DROP CONSTRAINT accrual_under_check,
    DROP COLUMN under_contract,
    DROP COLUMN under_terms;
