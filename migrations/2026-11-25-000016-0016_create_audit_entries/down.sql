DROP TABLE stored_reply;
DROP TABLE audit_entry;
