DROP TABLE journal_posting;
DROP TABLE journal_entry;
DROP FUNCTION refuse_unbalanced_entry();
