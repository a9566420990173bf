DROP TABLE log_table;
