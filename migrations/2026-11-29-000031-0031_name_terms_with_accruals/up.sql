-- What a quantity is owed under is kept with it: a week is added up from its own rows then, however many weeks lie behind
-- it. To find the contract of each, every derivation that the outfit ever made was looked through.
--
-- The columns have names of their own: an instance of the version before joins accruals by the names that others have.
--
-- Rows from before this, and those of an instance of the version before while both run, have none and are never changed:
-- they are in an index of their own, and their derivations tell it.
ALTER TABLE accrual
    ADD COLUMN under_contract uuid,
    ADD COLUMN under_terms uuid,
    ADD CONSTRAINT accrual_under_check CHECK ((under_contract IS NULL) = (under_terms IS NULL));
CREATE INDEX accrual_under_none ON accrual (outfit_id, scaled_on) WHERE under_contract IS NULL;

-- Derivations that count no more: the ticket was corrected, or derived again for the same contract. They are few.
CREATE VIEW fallen_derivation WITH (security_invoker = true) AS
SELECT fallen.outfit_id, fallen.derivation_id
FROM ticket AS correction
JOIN derivation AS fallen ON fallen.outfit_id = correction.outfit_id AND fallen.ticket_id = correction.corrects
WHERE correction.corrects IS NOT NULL
UNION ALL
SELECT fallen.outfit_id, fallen.derivation_id
FROM derivation AS later
JOIN derivation AS fallen ON fallen.outfit_id = later.outfit_id AND fallen.ticket_id = later.ticket_id
                         AND fallen.contract_id = later.contract_id AND fallen.revision < later.revision
WHERE later.revision > 1;
GRANT SELECT ON fallen_derivation TO skidway_service;

-- The quantities that count, each with what it is owed under.
CREATE VIEW standing_accrual WITH (security_invoker = true) AS
SELECT each.outfit_id, each.scaled_on, each.contract_id, each.terms_id, each.rate_number, each.quantity,
       each.piece_numbers, each.derivation_id
FROM (SELECT outfit_id, scaled_on, under_contract AS contract_id, under_terms AS terms_id, rate_number, quantity,
             piece_numbers, derivation_id
      FROM accrual
      WHERE under_contract IS NOT NULL
      UNION ALL
      SELECT outfit_id, scaled_on, contract_id, terms_id, rate_number, quantity, piece_numbers, derivation_id
      FROM accrual JOIN derivation USING (outfit_id, derivation_id)
      WHERE under_contract IS NULL) AS each
WHERE NOT EXISTS (SELECT FROM fallen_derivation AS fallen
                  WHERE fallen.outfit_id = each.outfit_id AND fallen.derivation_id = each.derivation_id);
GRANT SELECT ON standing_accrual TO skidway_service;
