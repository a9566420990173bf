ALTER TABLE derivation
    ALTER units SET COMPRESSION default, ALTER gross SET COMPRESSION default, ALTER net SET COMPRESSION default,
    ALTER culls SET COMPRESSION default, ALTER timber SET COMPRESSION default;
ALTER TABLE ticket ALTER pieces SET COMPRESSION default, ALTER work SET COMPRESSION default;
ALTER TABLE derivation
    ALTER units SET STORAGE EXTENDED, ALTER gross SET STORAGE EXTENDED, ALTER net SET STORAGE EXTENDED,
    ALTER culls SET STORAGE EXTENDED, ALTER timber SET STORAGE EXTENDED, RESET (toast_tuple_target);
CREATE INDEX derivation_terms ON derivation (outfit_id, terms_id);
CREATE INDEX derivation_contract ON derivation (outfit_id, contract_id);
ALTER TABLE audit_entry ADD CONSTRAINT audit_entry_outfit_id_fkey FOREIGN KEY (outfit_id) REFERENCES outfit;
ALTER TABLE derivation
    ADD CONSTRAINT derivation_outfit_id_terms_id_fkey FOREIGN KEY (outfit_id, terms_id) REFERENCES terms,
    ADD CONSTRAINT derivation_outfit_id_contract_id_fkey FOREIGN KEY (outfit_id, contract_id) REFERENCES contract;
ALTER TABLE ticket
    ADD CONSTRAINT ticket_outfit_id_delivered_to_fkey FOREIGN KEY (outfit_id, delivered_to) REFERENCES mill,
    ADD CONSTRAINT ticket_outfit_id_landing_id_job_id_fkey
        FOREIGN KEY (outfit_id, landing_id, job_id) REFERENCES landing (outfit_id, landing_id, job_id);
